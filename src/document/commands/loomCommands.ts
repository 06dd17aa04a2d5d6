import { checkLoom } from '#document/check/checkSample.ts';
import { problemAt, problemsUnder } from '#document/problem.ts';
import { type LoomCard, loomSchema } from '#document/schema/loomSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { type Command, firstProblem, plain } from './command.ts';

export type KnownFault = NonNullable<LoomCard['knownFaults']>[number];

/** Notes a fault of the loom itself, which every cloth woven on it has from then on. */
export function noteLoomFault(fault: KnownFault): Command {
  const noted = { ...fault };
  const withIt = (loom: LoomCard): LoomCard => ({ ...loom, knownFaults: [...(loom.knownFaults ?? []), noted] });
  return {
    name: ({ loom }) => `note a fault of ${loom.name}`,
    refusal: ({ loom }) =>
      firstProblem(
        () => fieldProblem(loomSchema.entries.knownFaults, withIt(loom).knownFaults, ['loom', 'knownFaults']),
        () => problemsUnder(['loom'], checkLoom(withIt(loom)))[0] ?? null,
      ),
    apply(draft) {
      draft.loom.knownFaults = [...(draft.loom.knownFaults ? plain(draft.loom.knownFaults) : []), noted];
    },
  };
}

/** Strikes a fault off the loom's list, counted from 1: it is mended. */
export function mendLoomFault(number: number): Command {
  return {
    name: ({ loom }) => `mend ${loom.name}`,
    refusal: ({ loom }) =>
      loom.knownFaults?.[number - 1]
        ? null
        : problemAt(['loom', 'knownFaults'], `has no fault ${number}`, 'choose one that is noted'),
    apply(draft) {
      const left = (draft.loom.knownFaults ?? []).filter((_, k) => k !== number - 1);
      if (left.length === 0) delete draft.loom.knownFaults;
      else draft.loom.knownFaults = left.map((fault) => plain(fault));
    },
  };
}
