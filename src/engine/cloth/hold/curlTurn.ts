import { NEWTON_PER_MM2_PER_GSM } from '#engine/cloth/bendRadius.ts';
import type { Millimetres } from '#engine/units/units.ts';

/**
 * Turn at its edge of a cloth that would roll to a radius R and lies on a table. What it rolls up is taken to lie at R, the rest
 * to be pressed flat by its weight w: a mm more of it gives back the ½B/R² that keeping it flat costs, and lifts what has
 * rolled up already by w R (1 − cos θ). They are level at cos θ = 1 − B/(2 w R³). An estimate: the rolled part's own weight bends it too.
 * @param stiffnessNmm B, N mm² a mm @param weightGPerM2 g/m² @param radiusMm R
 * @returns rad, 0 to π; Infinity where it rolls on and on
 */
export function curlTurnRad(stiffnessNmm: number, weightGPerM2: number, radiusMm: Millimetres): number {
  const cos = 1 - stiffnessNmm / (2 * weightGPerM2 * NEWTON_PER_MM2_PER_GSM * radiusMm ** 3);
  return cos < -1 ? Number.POSITIVE_INFINITY : Math.acos(cos);
}
