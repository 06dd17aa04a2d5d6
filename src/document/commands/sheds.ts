import { checkPick } from '#document/check/checkSample.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { pickSchema, type WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { edgesFor, isAcross, shortWeftProblem } from './edgeOfPass.ts';
import { strandsProblem } from './passCommands.ts';
import { followShuttles } from './shuttleSides.ts';

/** A pick's shed, and the weft that it wants; none: the pick keeps the weft that it has. */
export interface ShedPick {
  /** Shafts raised, or treadles pressed. */
  readonly lift: readonly number[];
  readonly strands?: readonly string[];
}

/** Whether the wefts wanted are there and long enough, and the lifts name what this loom has. */
export function shedsProblem(sample: Sample, sheds: readonly ShedPick[]): DocumentProblem | null {
  if (sheds.length === 0) return problemAt(['picks'], 'would be woven with nothing', 'choose a structure');
  const wefts = new Map(sheds.flatMap(({ strands }) => (strands ? [[strands.join('+'), strands] as const] : [])));
  for (const strands of wefts.values()) {
    const problem = strandsProblem(sample, strands) ?? shortWeftProblem(sample, strands);
    if (problem) return problem;
  }
  const [first] = sample.picks;
  const trial = { ...sample, picks: sheds.map(({ lift }) => ({ ...first, lift: [...lift] })) };
  for (let row = 0; row < sheds.length; row++) {
    const problem =
      fieldProblem(pickSchema.entries.lift, sheds[row].lift, ['picks', row, 'lift']) ?? checkPick(trial, row)[0];
    if (problem) return problem;
  }
  return null;
}

/**
 * The picks with `sheds` laid one after another from pick `fromPick` on (counted from 1). Beat, pauses and wefts laid in by
 * hand stay; the weft across is exchanged where a shed wants one; picks beyond the last take the wefts of the first in
 * turn. Shuttles are followed from edge to edge.
 */
export function withSheds(
  { picks: woven, yarns }: Pick<Sample, 'picks' | 'yarns'>,
  sheds: readonly ShedPick[],
  fromPick: number,
): WeftPick[] {
  const after = woven.slice();
  sheds.forEach(({ lift, strands }, i) => {
    const at = fromPick - 1 + i;
    const like = at < woven.length ? woven[at] : woven[at % woven.length];
    const passes = strands
      ? like.passes.map((pass) =>
          isAcross(pass) ? edgesFor({ ...pass, strands: [...strands] }, pass.strands, yarns) : pass,
        )
      : like.passes;
    after[at] = { ...like, lift: [...lift], passes };
  });
  return followShuttles(woven, after, Math.min(woven.length, fromPick - 1));
}
