import { checkPick, liftLimit } from '#document/check/checkSample.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { MOST_PICKS } from '#document/schema/fields.ts';
import { pickSchema, type WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { type Command, changePicks, firstProblem, pickSpanProblem, plain, type Span, spanInWords } from './command.ts';

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

/** Inserts picks so that the first of them becomes pick `before`; one more than the last appends. */
export function insertPicks(options: { readonly before: number; readonly picks: readonly WeftPick[] }): Command {
  const { before } = options;
  const picks = structuredClone(options.picks) as WeftPick[];
  return {
    name: () => `insert ${spanInWords('pick', { from: before, to: before + picks.length - 1 })}`,
    refusal: (sample) =>
      firstProblem(
        () => roomProblem(sample, before, picks.length),
        () => newPicksProblem(sample, picks),
      ),
    apply(draft) {
      const woven = plain(draft.picks);
      draft.picks = [...woven.slice(0, before - 1), ...picks, ...woven.slice(before - 1)];
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
      draft.picks = [...woven.slice(0, picks.from - 1), ...woven.slice(picks.to)];
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
      ),
    apply(draft) {
      const woven = plain(draft.picks);
      const copied = woven.slice(picks.from - 1, picks.to);
      const repeated = Array.from({ length: times }, () => copied).flat();
      draft.picks = [...woven.slice(0, before - 1), ...repeated, ...woven.slice(before - 1)];
    },
  };
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
        () => {
          const { most, thing } = liftLimit(sample);
          const beyond = lift.find((number) => number > most);
          if (beyond === undefined) return null;
          return problemAt(
            ['picks', picks.from - 1, 'lift'],
            `names ${thing} ${beyond}, but there are ${most}`,
            `name ${thing}s 1 to ${most}`,
          );
        },
      ),
    apply(draft) {
      changePicks(draft, picks, (pick) => ({ ...pick, lift }));
    },
  };
}
