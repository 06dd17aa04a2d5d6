import { DraftError } from '#engine/draft/draftError.ts';
import { draftFromDrawdown } from '#engine/draft/draftFromDrawdown.ts';
import type { LiftPlan } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tieUpFromLiftPlan } from '#engine/draft/liftPlan.ts';
import { listSets } from '#engine/draft/shaftSet.ts';
import { fitToThreading } from '#engine/weave/fit/fitThreading.ts';
import { fitToTieUp } from '#engine/weave/fit/fitTieUp.ts';
import type { SampleBody } from './schema/sampleSchema.ts';
import { warpedLoomOf } from './warpedLoom.ts';

/** How a drawdown is woven on a sample's loom. */
export interface FittedDrawdown {
  /** Per pick: shafts raised, or treadles pressed. */
  readonly lifts: number[][];
  /** The warp threaded anew for it, where it may be; absent: as it is threaded. */
  readonly threading?: number[];
  readonly tieUp?: number[][];
  /** Crossings that come out otherwise than asked for. */
  readonly changed: number;
}

/**
 * The lifts that weave a drawdown, as many ends as the warp has. Where the warp as threaded cannot weave it: threaded
 * anew if the warp is not fixed and the loom has shafts and treadles enough, else the nearest (see `engine/weave/fit`).
 */
export function fitDrawdown(body: Pick<SampleBody, 'loom' | 'warp'>, drawdown: Drawdown): FittedDrawdown {
  const asThreaded = fitAsThreaded(body, drawdown);
  if (asThreaded.changed === 0 || body.warp.fixed) return asThreaded;
  return threadAnew(drawdown, body.loom) ?? asThreaded;
}

function fitAsThreaded(body: Pick<SampleBody, 'loom' | 'warp'>, drawdown: Drawdown): FittedDrawdown {
  const { shafts, threading, tieUp } = warpedLoomOf(body);
  if (!tieUp) {
    const { liftPlan, changed } = fitToThreading(drawdown, threading, shafts);
    return { lifts: listSets(liftPlan), changed };
  }
  const { treadling, changed } = fitToTieUp(drawdown, threading, tieUp, { treadlesAtOnce: 'any' });
  return { lifts: listSets(treadling), changed };
}

/** The warp threaded, and treadles tied, for a drawdown; nothing where the loom has too few of either. */
export function threadAnew(drawdown: Drawdown, loom: SampleBody['loom']): FittedDrawdown | undefined {
  try {
    const draft = draftFromDrawdown(drawdown, loom.shafts);
    const threading = Array.from(draft.threading);
    if (loom.control.kind === 'directLift') return { lifts: listSets(draft.liftPlan), threading, changed: 0 };
    const { treadles, action } = loom.control;
    const { tieUp, treadling } = tieUpFromLiftPlan(draft.liftPlan as LiftPlan, loom.shafts, action, treadles);
    const tied = listSets(tieUp.treadles);
    while (tied.length < treadles) tied.push([]);
    return { lifts: listSets(treadling), threading, tieUp: tied, changed: 0 };
  } catch (error) {
    if (error instanceof DraftError) return undefined;
    throw error;
  }
}
