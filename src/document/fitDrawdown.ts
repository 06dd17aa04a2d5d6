import { DraftError } from '#engine/draft/draftError.ts';
import { draftFromDrawdown } from '#engine/draft/draftFromDrawdown.ts';
import type { LiftPlan } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tieUpFromLiftPlan, tieUpFromShafts } from '#engine/draft/liftPlan.ts';
import { listMembers, type SetWords, setCount } from '#engine/draft/shaftSet.ts';
import { fitToThreading } from '#engine/weave/fit/fitThreading.ts';
import { fitToTieUp } from '#engine/weave/fit/fitTieUp.ts';
import type { SampleBody } from './schema/sampleSchema.ts';
import { readWarp } from './toClothProblem.ts';

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

function lists(words: SetWords): number[][] {
  return Array.from({ length: setCount(words) }, (_, i) => listMembers(words, i));
}

/**
 * The lifts that weave a drawdown, as many ends as the warp has. Where the warp as threaded cannot weave it: threaded
 * anew if the warp is not fixed and the loom has shafts and treadles enough, else the nearest (see `engine/weave/fit`).
 */
export function fitDrawdown(body: SampleBody, drawdown: Drawdown): FittedDrawdown {
  const { warp, loom } = body;
  const { threading } = readWarp(warp);
  const asThreaded = fitAsThreaded(body, drawdown, threading);
  if (asThreaded.changed === 0 || warp.fixed) return asThreaded;
  return threadAnew(drawdown, loom) ?? asThreaded;
}

function fitAsThreaded(body: SampleBody, drawdown: Drawdown, threading: Uint8Array): FittedDrawdown {
  const { warp, loom } = body;
  if (loom.control.kind === 'directLift') {
    const { liftPlan, changed } = fitToThreading(drawdown, threading, loom.shafts);
    return { lifts: lists(liftPlan), changed };
  }
  const tieUp = tieUpFromShafts(warp.tieUp ?? [], loom.shafts, loom.control.action);
  const { treadling, changed } = fitToTieUp(drawdown, threading, tieUp, { treadlesAtOnce: 'any' });
  return { lifts: lists(treadling), changed };
}

function threadAnew(drawdown: Drawdown, loom: SampleBody['loom']): FittedDrawdown | undefined {
  try {
    const draft = draftFromDrawdown(drawdown, loom.shafts);
    const threading = Array.from(draft.threading);
    if (loom.control.kind === 'directLift') return { lifts: lists(draft.liftPlan), threading, changed: 0 };
    const { treadles, action } = loom.control;
    const { tieUp, treadling } = tieUpFromLiftPlan(draft.liftPlan as LiftPlan, loom.shafts, action, treadles);
    const tied = lists(tieUp.treadles);
    while (tied.length < treadles) tied.push([]);
    return { lifts: lists(treadling), threading, tieUp: tied, changed: 0 };
  } catch (error) {
    if (error instanceof DraftError) return undefined;
    throw error;
  }
}
