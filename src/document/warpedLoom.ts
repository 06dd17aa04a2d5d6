import { tieUpFromShafts } from '#engine/draft/liftPlan.ts';
import { listSets } from '#engine/draft/shaftSet.ts';
import type { Standing, WarpedLoom } from '#engine/weave/structures/onThisLoom.ts';
import type { SampleBody } from './schema/sampleSchema.ts';
import { readWarp } from './toClothProblem.ts';

/** The loom as it is warped, for asking what it can weave. @throws Error where the sample was not checked. */
export function warpedLoomOf({ loom, warp }: Pick<SampleBody, 'loom' | 'warp'>): WarpedLoom {
  const { threading } = readWarp(warp);
  const { control, shafts } = loom;
  if (control.kind === 'directLift') return { shafts, threading };
  return { shafts, threading, tieUp: tieUpFromShafts(warp.tieUp ?? [], shafts, control.action) };
}

/** Shafts to raise, or treadles to press, at each pick of a standing's repeat. */
export function liftsOf({ fit }: Standing): number[][] {
  return listSets(fit.treadling ?? fit.liftPlan);
}
