import type { LoomAndWarp } from '#document/commands/checkCommands.ts';
import { weaveDraft } from '#document/notation/weaveDraft.ts';
import { demand } from '#document/problem.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import { readLifts, readWarp } from '#document/toClothProblem.ts';
import { warpedLoomOf } from '#document/warpedLoom.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import { recalledLoom } from '#io/loomMemory.ts';
import { readLoomPreset, readWarpPreset, readWeavePreset } from '#io/presets.ts';
import type { CheckJob } from '#workers/checkProtocol.ts';

export interface FitWanted {
  readonly name: string;
  readonly job: Extract<CheckJob, { kind: 'fit' }>;
  /** The loom to weave it on, where it is not the sample's own. */
  readonly on?: LoomAndWarp;
}

/**
 * What is to be fitted: "weave …", a ready weave on this warp, or "warp …", this cloth on a loom with another warp.
 * @throws Error where a preset cannot be read.
 */
export async function fitQuestion(sample: SampleBody, choice: string): Promise<FitWanted> {
  const at = choice.indexOf(' ');
  const [kind, id] = [choice.slice(0, at), choice.slice(at + 1)];
  const rows = sample.picks.length;
  if (kind === 'weave') {
    const card = demand(await readWeavePreset(id));
    const { threading, liftPlan } = demand(weaveDraft(card));
    const weave = computeDrawdown(threading, liftPlan);
    return { name: card.name, job: jobOn(tile(weave, rows, sample.warp.ends), sample) };
  }
  const warp = demand(await readWarpPreset(id));
  if (warp.loomId === undefined) throw new Error(`${warp.name} is on no loom, so nothing can be tried on it.`);
  const loom = recalledLoom(demand(await readLoomPreset(warp.loomId)));
  const { threading } = readWarp(sample.warp);
  const cloth = computeDrawdown(threading, readLifts(sample).liftPlan);
  // The cloth goes on, or is cut off, to the width of the other warp.
  return { name: sample.name, job: jobOn(tile(cloth, rows, warp.ends), { loom, warp }), on: { loom, warp } };
}

function jobOn(drawdown: Drawdown, on: Pick<SampleBody, 'loom' | 'warp'>): FitWanted['job'] {
  return { kind: 'fit', drawdown, ...warpedLoomOf(on) };
}
