import type { PerCentimetre, Radians } from '#engine/units/units.ts';

/**
 * Angle of a twill line with the weft: tan = (step up · ends per cm) / (step out · picks per cm). Equal setts and single
 * steps give 45°. (Trade rule, in every weaving handbook.)
 */
export function twillAngle(
  stepUp: number,
  stepOut: number,
  endsPerCm: PerCentimetre,
  picksPerCm: PerCentimetre,
): Radians {
  return Math.atan2(stepUp * endsPerCm, stepOut * picksPerCm);
}
