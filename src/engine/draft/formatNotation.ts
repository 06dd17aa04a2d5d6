import { DraftError } from './draftError.ts';
import type { LiftPlan, Threading } from './draftTypes.ts';
import { setTexts } from './orders.ts';
import { smallestWholePeriod } from './repeats.ts';
import { collapseRuns } from './runs.ts';

/** The threading in the notation that `parseThreading` reads; reading it back gives the same ends. */
export function formatThreading(threading: Threading): string {
  return compact(Array.from(threading), shaftRuns);
}

/** The lifts in the notation that `parseLifts` reads. */
export function formatLifts(plan: LiftPlan): string {
  return compact(setTexts(plan), asWritten);
}

/**
 * The colour order in the notation that `parseColourOrder` reads.
 * @throws DraftError where a name is empty or holds a double quote, which the notation cannot write.
 */
export function formatColourOrder(names: readonly string[]): string {
  names.forEach((name, thread) => {
    if (name !== '' && !name.includes('"')) return;
    throw new DraftError(
      'notation',
      { part: 'whole', at: 0 },
      `The colour of thread ${thread + 1} has the name '${name}'. Give it a name without double quotes.`,
    );
  });
  return compact(
    collapseRuns(names).map(({ value, length }) => `${length} ${PLAIN_NAME.test(value) ? value : `"${value}"`}`),
    asWritten,
  );
}

const PLAIN_NAME = /^(?![xX]\d+$)\p{L}[\p{L}\p{N}_./-]*$/u;

/** Shafts without repeats, runs by steps of one written "1-8". Zeros (no shaft) are never in a run. */
function shaftRuns(shafts: readonly number[]): string[] {
  const runs: string[] = [];
  for (let i = 0; i < shafts.length; ) {
    const step = shafts[i + 1] - shafts[i];
    let j = i;
    if (shafts[i] !== 0 && Math.abs(step) === 1) {
      while (j + 1 < shafts.length && shafts[j + 1] !== 0 && shafts[j + 1] - shafts[j] === step) j++;
    }
    runs.push(j === i ? String(shafts[i]) : `${shafts[i]}-${shafts[j]}`);
    i = j + 1;
  }
  return runs;
}

function asWritten(items: readonly string[]): readonly string[] {
  return items;
}

/** Repeats longer than this are not sought: orders are read by people, and the search costs length × this. */
const LONGEST_PERIOD = 256;

/**
 * Writes neighbouring repeats of a group once with "x", looking into groups in their turn; `write` gives the parts of a
 * stretch that does not repeat. Repeats are sought among values, not parts, so that 1-8, 7-2, 1-8, 7-2 is found although
 * its last run goes on into the next 1.
 */
function compact<T>(values: readonly T[], write: (stretch: readonly T[]) => readonly string[]): string {
  const whole = smallestWholePeriod(values);
  if (whole > 0 && whole < values.length) return repeated(values.slice(0, whole), values.length / whole, write);
  const parts: string[] = [];
  let plainFrom = 0;
  for (let i = 0; i < values.length; ) {
    const { period, times } = bestRepeat(values, i);
    // Two alike in a row are no shorter as a repeat, and would break a run such as 1-8, 8-1.
    if (period * times - period < 2) {
      i++;
      continue;
    }
    parts.push(...write(values.slice(plainFrom, i)), repeated(values.slice(i, i + period), times, write));
    i += period * times;
    plainFrom = i;
  }
  parts.push(...write(values.slice(plainFrom)));
  return parts.join(', ');
}

function repeated<T>(group: readonly T[], times: number, write: (stretch: readonly T[]) => readonly string[]): string {
  const inner = compact(group, write);
  return inner.includes(',') ? `(${inner}) x${times}` : `${inner} x${times}`;
}

/** The repeat starting at `i` that covers most values, the shortest period among equals. */
function bestRepeat(values: readonly unknown[], i: number): { period: number; times: number } {
  let best = { period: 1, times: 1 };
  const longest = Math.min(LONGEST_PERIOD, (values.length - i) >> 1);
  for (let period = 1; period <= longest; period++) {
    let same = 0;
    while (i + period + same < values.length && values[i + same] === values[i + period + same]) same++;
    const times = 1 + Math.floor(same / period);
    if (times > 1 && period * times > best.period * best.times) best = { period, times };
  }
  return best;
}
