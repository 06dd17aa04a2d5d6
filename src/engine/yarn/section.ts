import type { Millimetres } from '#engine/units/units.ts';

/** Area of an ellipse of given width and height: π w h / 4. */
export function ellipseAreaMm2(widthMm: Millimetres, heightMm: Millimetres): number {
  return (Math.PI * widthMm * heightMm) / 4;
}

/** Area of a race-track (a rectangle between two half circles), w ≥ h: π h²/4 + (w − h) h. A. Kemp 1958. */
export function raceTrackAreaMm2(widthMm: Millimetres, heightMm: Millimetres): number {
  return (Math.PI * heightMm * heightMm) / 4 + (widthMm - heightMm) * heightMm;
}

/** Radius of the two arcs that bound a lens, w ≥ h: R = (w² + h²) / (4 h). J. W. S. Hearle & W. J. Shanahan 1978. */
export function lensRadiusMm(widthMm: Millimetres, heightMm: Millimetres): Millimetres {
  return (widthMm * widthMm + heightMm * heightMm) / (4 * heightMm);
}

/** Area of a lens, w ≥ h: R² (A − sin A), A = 2 asin(w / 2R) the angle of each arc. */
export function lensAreaMm2(widthMm: Millimetres, heightMm: Millimetres): number {
  const radius = lensRadiusMm(widthMm, heightMm);
  const arc = 2 * Math.asin(Math.min(1, widthMm / (2 * radius)));
  return radius * radius * (arc - Math.sin(arc));
}

export type SectionShape = 'ellipse' | 'race-track' | 'lens';

const areaOf = { ellipse: ellipseAreaMm2, 'race-track': raceTrackAreaMm2, lens: lensAreaMm2 } as const;

/**
 * Width and height of a round yarn of diameter d flattened to height/width = e at constant area.
 *
 * Area scales with the square of the width, so w = d sqrt(π / (4 A(1, e))); 0 < e ≤ 1. Exact for incompressible
 * sections; real yarn loses some area as well.
 */
export function flattenedSection(
  shape: SectionShape,
  diameterMm: Millimetres,
  heightOverWidth: number,
): { readonly widthMm: Millimetres; readonly heightMm: Millimetres } {
  const widthMm = diameterMm * Math.sqrt(Math.PI / (4 * areaOf[shape](1, heightOverWidth)));
  return { widthMm, heightMm: widthMm * heightOverWidth };
}

/** Share of its square that a round corner leaves out: (w − h) h + π h²/4 = w h − CORNER_LOSS h². */
const CORNER_LOSS = 1 - Math.PI / 4;

/**
 * Height of a section of given area and width: a race-track where it lies wide, a circle at w = sqrt(4A/π), and an
 * upright ellipse where it is squeezed narrower still. Continuous in w.
 */
export function sectionHeightMm(areaMm2: number, widthMm: Millimetres): Millimetres {
  if (areaMm2 >= ellipseAreaMm2(widthMm, widthMm)) return (4 * areaMm2) / (Math.PI * widthMm);
  // Smaller root of CORNER_LOSS h² − w h + A = 0, written so that wide, thin strips lose no digits.
  return (2 * areaMm2) / (widthMm + Math.sqrt(widthMm * widthMm - 4 * CORNER_LOSS * areaMm2));
}
