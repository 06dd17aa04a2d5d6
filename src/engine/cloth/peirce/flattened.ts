import type { Millimetres, Radians } from '#engine/units/units.ts';
import { lensRadiusMm } from '#engine/yarn/section.ts';
import { heightFromCrimp, pathFromHeight, type ThreadPath, thicknessMm } from './peirce.ts';

/** Sections of warp (1) and weft (2): a width, b height; spacings as in `peirce.ts`. */
export interface FlattenedInput {
  readonly a1Mm: Millimetres;
  readonly b1Mm: Millimetres;
  readonly a2Mm: Millimetres;
  readonly b2Mm: Millimetres;
  readonly p1Mm: Millimetres;
  readonly p2Mm: Millimetres;
}

export interface FlattenedWeave {
  readonly h1Mm: Millimetres;
  readonly h2Mm: Millimetres;
  /** Crimp is over the full spacing, flat parts included. */
  readonly warp: ThreadPath;
  readonly weft: ThreadPath;
  readonly thicknessMm: Millimetres;
}

export interface RaceTrackWeave extends FlattenedWeave {
  /** Spacings less the flat part of the section crossed: p − (a − b). */
  readonly p1ReducedMm: Millimetres;
  readonly p2ReducedMm: Millimetres;
}

function withFlat(path: ThreadPath, flatMm: Millimetres, spacingMm: Millimetres): ThreadPath {
  const lengthMm = path.lengthMm + flatMm;
  return { angleRad: path.angleRad, lengthMm, crimp: lengthMm / spacingMm - 1 };
}

/**
 * Race-track sections. A. Kemp 1958, J. Text. Inst. 49, T44 (from memory): the flat part of a crossed section, a − b,
 * is a straight run; what is left is Peirce's weave with p − (a − b) for p and b1 + b2 for D. The warp crosses wefts,
 * so its spacing p2 loses a2 − b2. a = b gives Peirce's weave back.
 */
export function raceTrackFromHeight(input: FlattenedInput, h1Mm: Millimetres): RaceTrackWeave {
  const { a1Mm, b1Mm, a2Mm, b2Mm, p1Mm, p2Mm } = input;
  const heights = b1Mm + b2Mm;
  const h2Mm = heights - h1Mm;
  const [flat1, flat2] = [a1Mm - b1Mm, a2Mm - b2Mm];
  const [p1ReducedMm, p2ReducedMm] = [p1Mm - flat1, p2Mm - flat2];
  return {
    p1ReducedMm,
    p2ReducedMm,
    h1Mm,
    h2Mm,
    warp: withFlat(pathFromHeight(p2ReducedMm, h1Mm, heights), flat2, p2Mm),
    weft: withFlat(pathFromHeight(p1ReducedMm, h2Mm, heights), flat1, p1Mm),
    thicknessMm: thicknessMm(b1Mm, b2Mm, h1Mm, h2Mm),
  };
}

/** The same from the warp's crimp over the full pick spacing. */
export function raceTrackFromWarpCrimp(input: FlattenedInput, c1: number): RaceTrackWeave {
  const flat2 = input.a2Mm - input.b2Mm;
  const reduced = input.p2Mm - flat2;
  const h1Mm = heightFromCrimp(reduced, (c1 * input.p2Mm) / reduced, input.b1Mm + input.b2Mm);
  return raceTrackFromHeight(input, h1Mm);
}

export interface LensWeave extends FlattenedWeave {
  /** Diameter of the circle on which each path's axis bends: warp round wefts, weft round ends. */
  readonly d1Mm: Millimetres;
  readonly d2Mm: Millimetres;
  /** Steepest angle at which a path still lies on the lens and not on its edge: asin(a / 2R) of the thread crossed. */
  readonly theta1MostRad: Radians;
  readonly theta2MostRad: Radians;
}

/**
 * Lens sections (two arcs). J. W. S. Hearle & W. J. Shanahan 1978, J. Text. Inst. 69, 81 (from memory): Peirce's
 * equations with D1 = 2 R2 + b1 for the warp and D2 = 2 R1 + b2 for the weft, R = (a² + b²)/(4 b), and
 * h1 + h2 = b1 + b2. Valid while θ1 ≤ asin(a2 / 2R2) and θ2 ≤ asin(a1 / 2R1); RangeError beyond.
 */
export function lensFromHeight(input: FlattenedInput, h1Mm: Millimetres): LensWeave {
  const { a1Mm, b1Mm, a2Mm, b2Mm, p1Mm, p2Mm } = input;
  const h2Mm = b1Mm + b2Mm - h1Mm;
  const [r1, r2] = [lensRadiusMm(a1Mm, b1Mm), lensRadiusMm(a2Mm, b2Mm)];
  const [d1Mm, d2Mm] = [2 * r2 + b1Mm, 2 * r1 + b2Mm];
  const warp = pathFromHeight(p2Mm, h1Mm, d1Mm);
  const weft = pathFromHeight(p1Mm, h2Mm, d2Mm);
  const theta1MostRad = Math.asin(Math.min(1, a2Mm / (2 * r2)));
  const theta2MostRad = Math.asin(Math.min(1, a1Mm / (2 * r1)));
  for (const [name, path, most] of [
    ['warp', warp, theta1MostRad],
    ['weft', weft, theta2MostRad],
  ] as const) {
    if (path.angleRad > most) {
      throw new RangeError(`${name} lies on the edge of the lens it crosses (θ ${path.angleRad} over ${most} rad)`);
    }
  }
  return {
    h1Mm,
    h2Mm,
    d1Mm,
    d2Mm,
    theta1MostRad,
    theta2MostRad,
    warp,
    weft,
    thicknessMm: thicknessMm(b1Mm, b2Mm, h1Mm, h2Mm),
  };
}
