import { problemAt } from '#document/problem.ts';
import { MOST_PICKS } from '#document/schema/fields.ts';
import type { WeftPass, WeftPick } from '#document/schema/pickSchema.ts';
import { type Command, firstProblem, pickSpanProblem, plain, type Span, spanInWords } from './command.ts';
import { edgesFor } from './edgeOfPass.ts';
import { type ShedPick, shedsProblem, withSheds } from './sheds.ts';

/**
 * Weaves picks in a structure, its repeat begun at the first of them and again and again to the last. Beat, pauses and wefts
 * laid in by hand over part of the width stay; the weft across is exchanged where the structure wants one.
 */
export function weaveStructure(options: {
  readonly picks: Span;
  readonly repeat: readonly ShedPick[];
  readonly name: string;
}): Command {
  const { picks, name } = options;
  const repeat = structuredClone(options.repeat) as ShedPick[];
  return {
    name: () => `weave ${spanInWords('pick', picks)} in ${name}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => shedsProblem(sample, repeat),
      ),
    apply(draft) {
      const sheds = Array.from({ length: picks.to - picks.from + 1 }, (_, k) => repeat[k % repeat.length]);
      draft.picks = withSheds({ picks: plain(draft.picks), yarns: plain(draft.yarns) }, sheds, picks.from);
    },
  };
}

/** Weaves these picks in place of all that are there: a trial strip. Shuttles go to and fro from the left. */
export function weaveInstead(options: {
  readonly picks: readonly Required<ShedPick>[];
  readonly name: string;
}): Command {
  const { name } = options;
  const picks = structuredClone(options.picks) as Required<ShedPick>[];
  return {
    name: () => `weave ${name}`,
    refusal: (sample) =>
      firstProblem(
        () => shedsProblem(sample, picks),
        () =>
          picks.length <= MOST_PICKS
            ? null
            : problemAt(['picks'], `would hold ${picks.length} picks`, `keep to ${MOST_PICKS} a sample`),
      ),
    apply(draft) {
      const yarns = plain(draft.yarns);
      const entersFrom = new Map<string, WeftPass['enters']>();
      draft.picks = picks.map(({ lift, strands }): WeftPick => {
        const shuttle = strands.join('+');
        const enters = entersFrom.get(shuttle) ?? 'left';
        entersFrom.set(shuttle, enters === 'left' ? 'right' : 'left');
        const pass: WeftPass = { strands: [...strands], enters, ends: 'selvedge' };
        return { lift: [...lift], passes: [edgesFor(pass, [], yarns)] };
      });
    },
  };
}
