import type { Millimetres } from '#engine/units/units.ts';

/**
 * Pick spacing at which warp and weft jam together, over D, for a given end spacing over D (or the other way round):
 *   sqrt(1 − (p1/D)²) + sqrt(1 − (p2/D)²) = 1   (F. T. Peirce 1937, J. Text. Inst. 28, T45).
 *
 * For 0 < p1/D ≤ 1 the answer runs from 1 down to 0; beyond 1 the weft never jams and geometry leaves p2 free: 0.
 */
export function jammedSpacingRatio(spacingOverD: number): number {
  if (!(spacingOverD > 0)) throw new RangeError(`spacing over D ${spacingOverD}: give a number above 0`);
  if (spacingOverD >= 1) return 0;
  const share = 1 - Math.sqrt(1 - spacingOverD * spacingOverD);
  return Math.sqrt(1 - share * share);
}

/** Spacing of a square cloth jammed both ways, over D: sqrt(3)/2; θ = 60°, c = 0.2092. */
export const SQUARE_JAM_RATIO = Math.sqrt(3) / 2;

export interface LeastSpacingInput {
  /** Spacing of the ends that change side between the two picks. */
  readonly endPitchMm: Millimetres;
  /** Contact sections; of two unlike picks, their means. */
  readonly endWidthMm: Millimetres;
  readonly endHeightMm: Millimetres;
  readonly pickWidthMm: Millimetres;
  readonly pickHeightMm: Millimetres;
}

/**
 * Least spacing of two neighbouring picks between which ends change side: Peirce's jam with race-track sections
 * (A. Kemp 1958: D becomes the sum of heights, each spacing loses its thread's width less height), and never less than
 * the picks' own width, at which they touch between the ends.
 *
 * For an end pitch at or beyond D the weft takes all the crimp, the warp lies straight and needs no room: an open sett
 * packs until its picks touch, and only the beat's resistance stops it sooner. Exact for round, incompressible threads
 * in plain weave; 5–10 % over what hard-beaten cloths reach, since contacts flatten further.
 */
export function curvatureTheoryLeastSpacing(input: LeastSpacingInput): Millimetres {
  const { endPitchMm, endWidthMm, endHeightMm, pickWidthMm, pickHeightMm } = input;
  const heights = endHeightMm + pickHeightMm;
  // Ends closer than their own width stand on edge or pass over one another: the pitch left between arcs is then nil.
  const reducedPitch = Math.max(0, endPitchMm - (endWidthMm - endHeightMm));
  const ratio = reducedPitch > 0 ? jammedSpacingRatio(reducedPitch / heights) : 1;
  return Math.max(pickWidthMm, ratio * heights + (pickWidthMm - pickHeightMm));
}
