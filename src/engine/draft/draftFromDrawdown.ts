import { checkShafts, checkThreading } from './checkDraft.ts';
import { type DistinctLines, distinctEnds } from './distinct.ts';
import { DraftError } from './draftError.ts';
import type { Draft, LiftPlan, Threading } from './draftTypes.ts';
import type { Drawdown } from './drawdown.ts';
import { MOST_SHAFTS } from './shaftSet.ts';

/**
 * The threading and lift plan with the fewest shafts that weave a drawdown: ends that always rise and fall together
 * share a shaft, numbered in order of first appearance from the left.
 * @throws DraftError at the first end that would need a shaft beyond `mostShafts` (1..64).
 */
export function draftFromDrawdown(drawdown: Drawdown, mostShafts: number = MOST_SHAFTS): Draft {
  checkShafts(mostShafts);
  const { classOf, firstOf } = distinctEnds(drawdown);
  if (firstOf.length > mostShafts) {
    const end = firstOf[mostShafts] + 1;
    throw new DraftError(
      'too-many-shafts',
      { part: 'end', at: end },
      `The design has ${firstOf.length} ends that move differently and so needs ${firstOf.length} shafts; ` +
        `${mostShafts} can be used, and end ${end} is the first to need another. Let more ends move alike.`,
    );
  }
  const threading: Threading = Uint8Array.from(classOf, (shaft) => shaft + 1);
  return { shafts: Math.max(1, firstOf.length), threading, liftPlan: liftsOf(drawdown, firstOf) };
}

/**
 * The lift plan that weaves a drawdown on a warp already threaded.
 * @throws DraftError at the first end that must move otherwise than an earlier end on its shaft, or that is on no shaft
 *   and should rise; the message names the first pick where it shows.
 */
export function liftPlanForThreading(drawdown: Drawdown, threading: Threading): LiftPlan {
  checkThreading(threading, MOST_SHAFTS);
  if (threading.length !== drawdown.ends) {
    throw new DraftError(
      'lengths-differ',
      { part: 'end', at: Math.min(threading.length, drawdown.ends) + 1 },
      `The warp has ${threading.length} ends and the design ${drawdown.ends}; they must have the same number.`,
    );
  }
  const lines: DistinctLines = distinctEnds(drawdown);
  const carrier = new Int32Array(MOST_SHAFTS + 1).fill(-1);
  for (let end = 0; end < threading.length; end++) {
    const shaft = threading[end];
    if (shaft === 0) {
      const pick = firstLift(drawdown, end);
      if (pick >= 0) throw sharedError(end, pick, 'is on no shaft, so nothing can lift it');
      continue;
    }
    if (carrier[shaft] < 0) carrier[shaft] = end;
    const other = carrier[shaft];
    if (lines.classOf[other] !== lines.classOf[end]) {
      const pick = firstDifference(drawdown, other, end);
      throw sharedError(end, pick, `shares shaft ${shaft} with end ${other + 1} but should move otherwise`);
    }
  }
  // A shaft without ends stays down.
  return liftsOf(drawdown, carrier.subarray(1));
}

/** Per pick the shafts whose representative end is up; -1 where a shaft carries no end. */
function liftsOf(drawdown: Drawdown, endOfShaft: ArrayLike<number>): LiftPlan {
  const plan = new Uint32Array(2 * drawdown.rows);
  // Picks outermost: a pick's words lie together, an end's bits far apart.
  for (let row = 0; row < drawdown.rows; row++) {
    for (let shaft = 0; shaft < endOfShaft.length; shaft++) {
      const end = endOfShaft[shaft];
      if (end >= 0) plan[2 * row + (shaft >>> 5)] |= up(drawdown, row, end) << (shaft & 31);
    }
  }
  return plan;
}

function up(drawdown: Drawdown, row: number, end: number): number {
  return (drawdown.bits[row * drawdown.wordsPerRow + (end >>> 5)] >>> (end & 31)) & 1;
}

function firstLift(drawdown: Drawdown, end: number): number {
  for (let row = 0; row < drawdown.rows; row++) if (up(drawdown, row, end)) return row;
  return -1;
}

function firstDifference(drawdown: Drawdown, first: number, second: number): number {
  for (let row = 0; row < drawdown.rows; row++) {
    if (up(drawdown, row, first) !== up(drawdown, row, second)) return row;
  }
  return -1;
}

function sharedError(end: number, pick: number, why: string): DraftError {
  return new DraftError(
    'shaft-shared',
    { part: 'end', at: end + 1 },
    `End ${end + 1} ${why} (first at pick ${pick + 1}). Change the design there, or rethread the end.`,
  );
}
