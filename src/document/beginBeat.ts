import { ClothError } from '#engine/cloth/clothError.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { rowHolds, rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { type Beginning, beginSample, USUAL_BEAT } from './beginSample.ts';
import { dentsOfWarp } from './notation/denting.ts';
import { toClothProblem } from './toClothProblem.ts';

/** How many picks a warp and its wefts take in a weave, and the beat for the wanted ones. */
export interface BeginningBeat {
  readonly loosestPerCm: number;
  readonly firmestPerCm: number;
  /** As many as there are ends, which makes a balanced cloth. */
  readonly endsPerCm: number;
  readonly picksPerCm: number;
  /** 0..1; for the nearest that can be beaten, where the picks wanted lie beyond. */
  readonly firmness: number;
}

/** As many picks as bring out how a short repeat packs; more would only take longer. */
const TRIAL_PICKS = 24;
/** Longer repeats are tried no further than this, which takes tenths of a second. */
const MOST_TRIAL_PICKS = 96;

/**
 * The beat with which a sample is begun, from the law that spaces its picks (see `engine/cloth/spacing`).
 * @param wantedPerCm absent: as many as ends; where these yarns do not take so many or so few, as a weaver usually beats
 * @returns undefined where there is no cloth of these yarns
 */
export function beginningBeat(
  { on, weft, repeat }: Pick<Beginning, 'on' | 'weft' | 'repeat'>,
  wantedPerCm?: number,
): BeginningBeat | undefined {
  const picks = Math.min(Math.max(TRIAL_PICKS, repeat?.length ?? 0), MOST_TRIAL_PICKS);
  const trial = beginSample({ name: 'trial', on, weft, repeat, picks });
  if (!trial.ok) return undefined;
  try {
    const { problem } = toClothProblem(trial.value);
    const holds = rowHolds(problem);
    const at = (firmness: number) => picksPerCmAt(problem, holds, firmness);
    const [loosestPerCm, firmestPerCm] = [at(0), at(1)];
    const { widthMm } = dentsOfWarp(on.warp);
    const endsPerCm = (10 * on.warp.ends) / widthMm;
    const balanced = endsPerCm >= loosestPerCm && endsPerCm <= firmestPerCm;
    const picksPerCm = wantedPerCm ?? (balanced ? endsPerCm : at(USUAL_BEAT.firmness));
    return { loosestPerCm, firmestPerCm, endsPerCm, picksPerCm, firmness: firmnessFor(at, picksPerCm) };
  } catch (error) {
    if (error instanceof ClothError) return undefined;
    throw error;
  }
}

function picksPerCmAt(problem: ClothProblem, holds: ReturnType<typeof rowHolds>, firmness: number): number {
  const beat = { ...problem.beat, firmness: problem.beat.firmness.map(() => firmness) };
  const { rowYMm } = rowPositions({ ...problem, beat }, false, holds);
  return (10 * (problem.rows - 1)) / rowYMm[problem.rows - 1];
}

/** Halvings of the range of beats: a thousandth of the firmest. */
const HALVINGS = 10;

/** A firmer beat lays more picks, so halving finds it. */
function firmnessFor(at: (firmness: number) => number, picksPerCm: number): number {
  let [low, high] = [0, 1];
  if (picksPerCm >= at(high)) return high;
  if (picksPerCm <= at(low)) return low;
  for (let k = 0; k < HALVINGS; k++) {
    const middle = (low + high) / 2;
    if (at(middle) < picksPerCm) low = middle;
    else high = middle;
  }
  return Math.round(1000 * ((low + high) / 2)) / 1000;
}
