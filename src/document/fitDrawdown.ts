import { DraftError } from '#engine/draft/draftError.ts';
import { draftFromDrawdown } from '#engine/draft/draftFromDrawdown.ts';
import type { LiftPlan } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tieUpFromLiftPlan } from '#engine/draft/liftPlan.ts';
import { listSets, setCount } from '#engine/draft/shaftSet.ts';
import { fitToThreading } from '#engine/weave/fit/fitThreading.ts';
import { fitToTieUp } from '#engine/weave/fit/fitTieUp.ts';
import { smallerTieUp } from '#engine/weave/fit/smallerTieUp.ts';
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

/** A weaver has two feet: more treadles than that are not pressed together pick after pick (common practice). */
const MOST_TREADLES_AT_ONCE = 2;

/** Whether a weaver's feet reach what is pressed at each pick; what shafts are lifted by is no matter of feet. */
export function isInReach({ control }: SampleBody['loom'], lifts: readonly (readonly number[])[]): boolean {
  return control.kind === 'directLift' || lifts.every(({ length }) => length <= MOST_TREADLES_AT_ONCE);
}

/**
 * How all picks of a warp that is not fixed are woven anew: as it is drawn in and tied where two feet reach that, else tied anew
 * on the same draw, else drawn in anew. Nothing where the loom has too few shafts or treadles for it, or the warp has to stay.
 */
export function fitAnew(body: Pick<SampleBody, 'loom' | 'warp'>, drawdown: Drawdown): FittedDrawdown | undefined {
  const asThreaded = fitAsThreaded(body, drawdown);
  if (asThreaded.changed === 0 && isInReach(body.loom, asThreaded.lifts)) return asThreaded;
  if (body.warp.fixed) return undefined;
  return tieAnew(body, drawdown) ?? threadAnew(drawdown, body.loom);
}

/** Treadles tied for a drawdown that the draw can weave as it is. */
function tieAnew(body: Pick<SampleBody, 'loom' | 'warp'>, drawdown: Drawdown): FittedDrawdown | undefined {
  const { shafts, threading } = warpedLoomOf(body);
  const { liftPlan, changed } = fitToThreading(drawdown, threading, shafts);
  return changed === 0 ? treadled(liftPlan, body.loom, threading) : undefined;
}

/**
 * A treadle for each lift while they are enough, else ties that make every lift by one or two of them. Where two are left over
 * and the draw allows it they are tied for plain, as hems want it (common practice).
 */
function treadled(
  liftPlan: LiftPlan,
  { shafts, control }: SampleBody['loom'],
  threading: ArrayLike<number>,
): FittedDrawdown | undefined {
  if (control.kind === 'directLift') return undefined;
  const { treadles, action } = control;
  const found = insteadOfDraftError(
    () => tieUpFromLiftPlan(liftPlan, shafts, action, treadles),
    () =>
      insteadOfDraftError(
        () => smallerTieUp(liftPlan, shafts, { shed: action, pressedAtOnce: MOST_TREADLES_AT_ONCE }),
        () => undefined,
      ),
  );
  if (!found || setCount(found.tieUp.treadles) > treadles) return undefined;
  const tieUp = listSets(found.tieUp.treadles);
  const tabby = tabbyOf(threading).filter((shed) => !tieUp.some((tied) => tied.join() === shed.join()));
  const spare = treadles - tieUp.length - tabby.length;
  for (let k = 0; k < spare; k++) tieUp.push([]);
  if (spare >= 0) tieUp.push(...tabby);
  while (tieUp.length < treadles) tieUp.push([]);
  return { lifts: listSets(found.treadling), tieUp, changed: 0 };
}

/** Shafts of the odd and of the even ends; none where a shaft carries both, so that the draw weaves no plain cloth. */
function tabbyOf(threading: ArrayLike<number>): number[][] {
  const sheds = [0, 1].map((by) => {
    const shafts = new Set(Array.from(threading).filter((shaft, end) => end % 2 === by && shaft > 0));
    return [...shafts].sort((a, b) => a - b);
  });
  return sheds[0].some((shaft) => sheds[1].includes(shaft)) ? [] : sheds;
}

function insteadOfDraftError<T, U>(wanted: () => T, instead: () => U): T | U {
  try {
    return wanted();
  } catch (error) {
    if (error instanceof DraftError) return instead();
    throw error;
  }
}

/** The warp threaded, and treadles tied, for a drawdown; nothing where the loom has too few of either. */
export function threadAnew(drawdown: Drawdown, loom: SampleBody['loom']): FittedDrawdown | undefined {
  const draft = insteadOfDraftError(
    () => draftFromDrawdown(drawdown, loom.shafts),
    () => undefined,
  );
  if (!draft) return undefined;
  const threading = Array.from(draft.threading);
  const liftPlan = draft.liftPlan as LiftPlan;
  if (loom.control.kind === 'directLift') return { lifts: listSets(liftPlan), threading, changed: 0 };
  const tied = treadled(liftPlan, loom, threading);
  return tied && { ...tied, threading };
}
