import { checkPick } from '#document/check/checkSample.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { MOST_PICKS } from '#document/schema/fields.ts';
import { pickSchema, type WeftPass, type WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { type Command, changePicks, firstProblem, pickSpanProblem, plain, type Span, spanInWords } from './command.ts';
import { edgesFor, isAcross, shortWeftProblem } from './edgeOfPass.ts';
import { strandsProblem } from './passCommands.ts';
import { followShuttles } from './shuttleSides.ts';

/** One pick of a structure's repeat: its shed, and the weft that it wants; none: the pick keeps the weft that it has. */
export interface StructurePick {
  /** Shafts raised, or treadles pressed. */
  readonly lift: readonly number[];
  readonly strands?: readonly string[];
}

function repeatProblem(sample: Sample, repeat: readonly StructurePick[]): DocumentProblem | null {
  if (repeat.length === 0) return problemAt(['picks'], 'would be woven with nothing', 'choose a structure');
  const wefts = new Map(repeat.flatMap(({ strands }) => (strands ? [[strands.join('+'), strands] as const] : [])));
  for (const strands of wefts.values()) {
    const problem = strandsProblem(sample, strands) ?? shortWeftProblem(sample, strands);
    if (problem) return problem;
  }
  const [first] = sample.picks;
  const trial = { ...sample, picks: repeat.map(({ lift }) => ({ ...first, lift: [...lift] })) };
  for (let row = 0; row < repeat.length; row++) {
    const problem =
      fieldProblem(pickSchema.entries.lift, repeat[row].lift, ['picks', row, 'lift']) ?? checkPick(trial, row)[0];
    if (problem) return problem;
  }
  return null;
}

/**
 * Weaves picks in a structure, its repeat begun at the first of them and again and again to the last. Beat, pauses and wefts
 * laid in by hand over part of the width stay; the weft across is exchanged where the structure wants one.
 */
export function weaveStructure(options: {
  readonly picks: Span;
  readonly repeat: readonly StructurePick[];
  readonly name: string;
}): Command {
  const { picks, name } = options;
  const repeat = structuredClone(options.repeat) as StructurePick[];
  return {
    name: () => `weave ${spanInWords('pick', picks)} in ${name}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => repeatProblem(sample, repeat),
      ),
    apply(draft) {
      const yarns = plain(draft.yarns);
      const before = plain(draft.picks);
      changePicks(draft, picks, (pick, index) => {
        const { lift, strands } = repeat[(index - picks.from + 1) % repeat.length];
        const passes = pick.passes.map((pass) =>
          strands && isAcross(pass) ? edgesFor({ ...pass, strands: [...strands] }, pass.strands, yarns) : pass,
        );
        return { ...pick, lift: [...lift], passes };
      });
      draft.picks = followShuttles(before, plain(draft.picks), picks.from - 1);
    },
  };
}

/** Weaves these picks in place of all that are there: a trial strip. Shuttles go to and fro from the left. */
export function weaveInstead(options: {
  readonly picks: readonly Required<StructurePick>[];
  readonly name: string;
}): Command {
  const { name } = options;
  const picks = structuredClone(options.picks) as Required<StructurePick>[];
  return {
    name: () => `weave ${name}`,
    refusal: (sample) =>
      firstProblem(
        () => repeatProblem(sample, picks),
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
