import { leastBendRadiusMm, warpwiseStiffnessNmm } from '#engine/cloth/bendRadius.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { drapeOver } from '#engine/packing/walk/drape.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import { type BentStill, CLEAR_OF_CLOTH } from './bentStill.ts';

export interface DrapedStill extends BentStill {
  /** Of the cloth's back: that of the edge, unless the cloth is too stiff or too thick to follow it. */
  readonly radiusMm: number;
}

/**
 * The cloth in the middle of its length over an edge, its first picks hanging.
 * @param edgeRadiusMm of the cylinder that it is asked to lie over
 */
export function drapedStill(
  problem: ClothProblem,
  { packed, readings }: ForecastResult,
  edgeRadiusMm: number,
): DrapedStill {
  const { min, max } = packed.bounds;
  const hangingMm = (max[1] - min[1]) / 2;
  const halfMm = readings.thicknessMm.value / 2;
  const byWeight = leastBendRadiusMm(warpwiseStiffnessNmm(problem), readings.weightGPerM2.value, hangingMm);
  const middleMm = Math.max(edgeRadiusMm + halfMm, byWeight, CLEAR_OF_CLOTH * -min[2]);
  const drape = drapeOver((min[1] + max[1]) / 2, middleMm);
  return { drape, side: 'face', view: 'low', radiusMm: middleMm - halfMm };
}
