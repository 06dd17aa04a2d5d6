import type { Reading } from '#engine/units/reading.ts';

/** Handling beside the throw itself, seconds each: estimates, to be replaced by the weaver's own pace. */
export const HANDLING_S = {
  /** Laying one shuttle down and taking another up. */
  shuttleChange: 3,
  /** Cutting a pick's weft to length and laying it in by hand, over what a throw takes. */
  cutPick: 12,
  /** Tucking or folding both tails. */
  tails: 8,
  /** A pass over part of the width, laid by fingers or bobbin. */
  handPass: 15,
  /** Winding on, every so far. */
  windOn: 15,
} as const;
/** Woven between two windings on (common practice: 5 to 8 cm). */
const WIND_ON_EVERY_MM = 65;
/** A practised weaver, plain weave with one shuttle, 760 mm wide. */
export const USUAL_PICKS_PER_MIN = 18;
/** Of a pace that is usual and of one that is her own; of all handling, and of dressing: by 80 in 100 (estimates). */
const PACE_DOUBT = { usual: 0.4, own: 0.1 };
export const HANDLING_DOUBT = 0.3;
/**
 * Ends dressed in a minute, winding, threading, sleying and tying on together: 640 ends in about 13 hours (common
 * practice; threading alone goes at about four).
 */
export const ENDS_DRESSED_PER_MIN = 640 / (13 * 60);

export interface WorkCounted {
  readonly picks: number;
  readonly shuttleChanges: number;
  readonly cutPicks: number;
  readonly tailsWorked: number;
  readonly handPasses: number;
  readonly wovenMm: number;
}

export interface WeavingTime {
  readonly throwsMin: number;
  readonly shuttlesMin: number;
  readonly cutsMin: number;
  readonly handMin: number;
  readonly windingMin: number;
  readonly totalMin: number;
}

/** Minutes at the loom for what is woven, each kind of handling on its own line. */
export function weavingTime(work: WorkCounted, picksPerMin = USUAL_PICKS_PER_MIN): WeavingTime {
  if (!(picksPerMin > 0)) throw new RangeError(`${picksPerMin} picks a minute: give a number above 0`);
  const throwsMin = work.picks / picksPerMin;
  const shuttlesMin = (work.shuttleChanges * HANDLING_S.shuttleChange) / 60;
  const cutsMin = (work.cutPicks * HANDLING_S.cutPick + work.tailsWorked * HANDLING_S.tails) / 60;
  const handMin = (work.handPasses * HANDLING_S.handPass) / 60;
  const windingMin = (Math.floor(work.wovenMm / WIND_ON_EVERY_MM) * HANDLING_S.windOn) / 60;
  return {
    throwsMin,
    shuttlesMin,
    cutsMin,
    handMin,
    windingMin,
    totalMin: throwsMin + shuttlesMin + cutsMin + handMin + windingMin,
  };
}

/** All the time, with what is not known of a pace and of the handling. @param ownPace picks a minute, where she has told */
export function timeAround({ totalMin, throwsMin }: WeavingTime, ownPace: number | undefined): Reading {
  const throws = throwsMin * (ownPace === undefined ? PACE_DOUBT.usual : PACE_DOUBT.own);
  const doubt = Math.hypot(throws, (totalMin - throwsMin) * HANDLING_DOUBT);
  return { value: totalMin, low: totalMin - doubt, high: totalMin + doubt };
}
