import type { Millimetres } from '#engine/units/units.ts';

/** Across the roller that cloth is wound on (common practice; from memory, 50 to 80 mm). */
export const USUAL_ROLLER_MM: Millimetres = 60;

/**
 * Diameter of a roll of cloth: its edge has the area of the cloth seen from its side, (π/4)(D² − d²) = length × thickness. As
 * thick as it is free; wound tightly it is somewhat less.
 */
export function rollDiameterMm(
  lengthMm: Millimetres,
  thicknessMm: Millimetres,
  rollerMm = USUAL_ROLLER_MM,
): Millimetres {
  return Math.sqrt(rollerMm ** 2 + (4 * lengthMm * thicknessMm) / Math.PI);
}
