import { checkPick, liftLimit } from '#document/check/checkSample.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { MOST_PICKS } from '#document/schema/fields.ts';
import { pickSchema, type WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { type Command, changePicks, firstProblem, pickSpanProblem, plain, type Span, spanInWords } from './command.ts';
import { goWithPicks, keptPicks, treatmentsProblem, wovenAgain } from './goWithPicks.ts';
import { followShuttles } from './shuttleSides.ts';

function roomProblem(sample: Sample, before: number, count: number): DocumentProblem | null {
  const most = sample.picks.length + 1;
  if (!Number.isInteger(before) || before < 1 || before > most) {
    return problemAt(['picks'], `has no pick ${before} to insert before`, `choose 1 to ${most}`);
  }
  if (sample.picks.length + count <= MOST_PICKS) return null;
  return problemAt(['picks'], `would hold ${sample.picks.length + count} picks`, `keep to ${MOST_PICKS} a sample`);
}

function newPicksProblem(sample: Sample, picks: readonly WeftPick[]): DocumentProblem | null {
  if (picks.length === 0) return problemAt(['picks'], 'would gain nothing', 'give at least one pick');
  const trial = { ...sample, picks: [...picks] };
  for (let i = 0; i < picks.length; i++) {
    const problem = fieldProblem(pickSchema, picks[i], ['picks', i]) ?? checkPick(trial, i)[0];
    if (problem) return problem;
  }
  return null;
}

/**
 * Inserts picks so that the first of them becomes pick `before`; one more than the last appends. Shuttles are followed
 * from edge to edge, here and where picks are copied or unwoven. `how` is told after the name: "with the same lift".
 */
export function insertPicks(options: {
  readonly before: number;
  readonly picks: readonly WeftPick[];
  readonly how?: string;
}): Command {
  const { before, how } = options;
  const picks = structuredClone(options.picks) as WeftPick[];
  return {
    name: () => {
      const what = `insert ${spanInWords('pick', { from: before, to: before + picks.length - 1 })}`;
      return how === undefined ? what : `${what} ${how}`;
    },
    refusal: (sample) =>
      firstProblem(
        () => roomProblem(sample, before, picks.length),
        () => newPicksProblem(sample, picks),
      ),
    apply(draft) {
      const woven = plain(draft.picks);
      const more = [...woven.slice(0, before - 1), ...picks, ...woven.slice(before - 1)];
      const fresh = picks.map(() => null);
      goWithPicks(draft, [...keptPicks(0, before - 1), ...fresh, ...keptPicks(before - 1, woven.length)]);
      draft.picks = followShuttles(woven, more, before - 1);
    },
  };
}

export function deletePicks(picks: Span): Command {
  return {
    name: () => `unweave ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () =>
          picks.to - picks.from + 1 < sample.picks.length
            ? null
            : problemAt(['picks'], 'would be left without a pick', 'keep at least one'),
      ),
    apply(draft) {
      const woven = plain(draft.picks);
      const fewer = [...woven.slice(0, picks.from - 1), ...woven.slice(picks.to)];
      goWithPicks(draft, [...keptPicks(0, picks.from - 1), ...keptPicks(picks.to, woven.length)]);
      draft.picks = followShuttles(woven, fewer, picks.from - 1);
    },
  };
}

/** Weaves the picks again, `times` times over, so that the first copy becomes pick `before`. */
export function copyPicks(options: {
  readonly picks: Span;
  readonly before: number;
  readonly times?: number;
}): Command {
  const { picks, before } = options;
  const times = options.times ?? 1;
  const count = picks.to - picks.from + 1;
  const origins = (sample: Sample) => [
    ...keptPicks(0, before - 1),
    ...Array.from({ length: times }, () => wovenAgain(picks.from - 1, picks.to)).flat(),
    ...keptPicks(before - 1, sample.picks.length),
  ];
  return {
    name: () => `repeat ${spanInWords('pick', picks)}${times === 1 ? '' : ` ${times} times`} at pick ${before}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () =>
          Number.isInteger(times) && times >= 1
            ? null
            : problemAt(['picks'], `cannot be repeated ${times} times`, 'give a whole number from 1'),
        () => roomProblem(sample, before, count * times),
        () => treatmentsProblem(sample, origins(sample)),
      ),
    apply(draft) {
      const woven = plain(draft.picks);
      goWithPicks(draft, origins(plain(draft)));
      const copied = woven.slice(picks.from - 1, picks.to);
      const repeated = Array.from({ length: times }, () => structuredClone(copied)).flat();
      const more = [...woven.slice(0, before - 1), ...repeated, ...woven.slice(before - 1)];
      draft.picks = followShuttles(woven, more, before - 1);
    },
  };
}

/** Raises one shaft at these picks, or presses one treadle; or lets it go. What else is lifted stays as it is. */
export function liftOne(options: { readonly picks: Span; readonly number: number; readonly up: boolean }): Command {
  const { picks, number, up } = options;
  return {
    name(sample) {
      const { thing } = liftLimit(sample);
      const verb = thing === 'shaft' ? (up ? 'raise' : 'lower') : up ? 'press' : 'release';
      return `${verb} ${thing} ${number} on ${spanInWords('pick', picks)}`;
    },
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => beyondProblem(sample, picks, [number]),
      ),
    apply(draft) {
      changePicks(draft, picks, (pick) => {
        if (pick.lift.includes(number) === up) return pick;
        const lift = up ? [...pick.lift, number].sort((a, b) => a - b) : pick.lift.filter((each) => each !== number);
        return { ...pick, lift };
      });
    },
  };
}

/** On a direct-lift loom: lifts what was down and drops what was up, so that the back comes to the face there. */
export function oppositeLift(picks: Span): Command {
  return {
    name: () => `lift the opposite on ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () =>
          liftLimit(sample).thing === 'shaft'
            ? null
            : problemAt(['picks'], 'are lifted by treadles, whose opposite may not be tied', 'choose the treadles'),
      ),
    apply(draft) {
      const { most } = liftLimit(plain(draft));
      const all = Array.from({ length: most }, (_, i) => i + 1);
      changePicks(draft, picks, (pick) => ({ ...pick, lift: all.filter((number) => !pick.lift.includes(number)) }));
    },
  };
}

function beyondProblem(sample: Sample, picks: Span, lift: readonly number[]): DocumentProblem | null {
  const { most, thing } = liftLimit(sample);
  const beyond = lift.find((number) => !(number >= 1 && number <= most));
  if (beyond === undefined) return null;
  const path = ['picks', picks.from - 1, 'lift'];
  return problemAt(path, `names ${thing} ${beyond}, but there are ${most}`, `name ${thing}s 1 to ${most}`);
}

/** Shafts raised (direct lift) or treadles pressed at these picks. */
export function setLift(options: { readonly picks: Span; readonly lift: readonly number[] }): Command {
  const { picks } = options;
  const lift = [...options.lift].sort((a, b) => a - b);
  return {
    name: (sample) =>
      `change the ${liftLimit(sample).thing === 'shaft' ? 'lift' : 'treadling'} of ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => fieldProblem(pickSchema.entries.lift, lift, ['picks', picks.from - 1, 'lift']),
        () => beyondProblem(sample, picks, lift),
      ),
    apply(draft) {
      changePicks(draft, picks, (pick) => ({ ...pick, lift }));
    },
  };
}
