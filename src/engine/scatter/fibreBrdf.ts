import { type ReadonlyVec3, vec3 } from 'gl-matrix';
import { type FibreAngles, type FibreLobes, LEAST_COSINE, type RawLobes, rawLobes, widen } from './fibreLobes.ts';
import { levelPlace, lookUp, nodePlace, type ScatterTable, type TableEntry } from './scatterLayout.ts';

/** A direction against a fibre bed, with what the table says of it. */
export interface FibreDirection extends FibreAngles {
  surfaceScale: number;
  volumeScale: number;
  /** E_s: share of light from this direction that the surface lobe returns; the volume lobe's is 1 − E_s. */
  surfaceAlbedo: number;
  /** Mean cosine to the normal of the light that the surface lobe returns. */
  surfaceCosine: number;
}

const entry: TableEntry = { r: 0, g: 0, b: 0, a: 0 };
const side = new Float64Array(3);

export function createFibreDirection(): FibreDirection {
  return {
    sinTheta: 0,
    cosTheta: 1,
    cosPhi: 1,
    sinPhi: 0,
    surfaceScale: 1,
    volumeScale: 1,
    surfaceAlbedo: 0,
    surfaceCosine: 1,
  };
}

/**
 * Angles and scale factors of a direction.
 * @param normal, tangent unit, square to each other: of the yarn's surface, and along its fibres
 * @param direction unit, away from the surface
 * @param tiltRad standard deviation of fibre tilt within the pixel, 0 .. π/4
 */
export function fibreDirection(
  out: FibreDirection,
  table: ScatterTable,
  block: number,
  normal: ReadonlyVec3,
  tangent: ReadonlyVec3,
  direction: ReadonlyVec3,
  tiltRad: number,
): FibreDirection {
  vec3.cross(side, normal, tangent);
  out.sinTheta = Math.min(1, Math.max(-1, vec3.dot(direction, tangent)));
  out.cosTheta = Math.sqrt(Math.max(LEAST_COSINE * LEAST_COSINE, 1 - out.sinTheta * out.sinTheta));
  out.cosPhi = vec3.dot(direction, normal) / out.cosTheta;
  out.sinPhi = vec3.dot(direction, side) / out.cosTheta;
  lookUp(entry, table, block, nodePlace(out.cosTheta), nodePlace(out.cosPhi), levelPlace(tiltRad));
  out.surfaceScale = entry.r;
  out.volumeScale = entry.g;
  out.surfaceAlbedo = entry.b;
  out.surfaceCosine = entry.a;
  return out;
}

/**
 * BRDF of an opaque yarn surface, 1/sr, in two lobes: the surface lobe keeps the light's colour, the volume lobe is to be
 * multiplied by `fibreReflectance`. Light scattered is f cos θ L dω with θ to the surface normal. Reciprocal by form.
 * Both are 0 where either direction lies below the surface. With both directions prepared at one `tiltRad`.
 *
 * Over the outer hemisphere the lobes sum to E_s and 1 − E_s within 0.01 for light from 0 to 80° (tested).
 */
export function fibreBrdf(
  out: RawLobes,
  lobes: FibreLobes,
  i: FibreDirection,
  o: FibreDirection,
  tiltRad: number,
): RawLobes {
  if (i.cosPhi <= 0 || o.cosPhi <= 0) {
    out.surface = 0;
    out.volume = 0;
    return out;
  }
  const variance = tiltRad * tiltRad;
  rawLobes(out, variance > 0 ? widened(lobes, variance) : lobes, i, o);
  out.surface *= i.surfaceScale * o.surfaceScale;
  out.volume *= i.volumeScale * o.volumeScale;
  return out;
}

/** Lean of the mean azimuth towards the eye's (fitted). */
const OWN_SIDE = 0.2;

/**
 * Mean direction of the light that the surface lobe returns, not of unit length: light in a room whose radiance varies
 * little, L0 + L1·ω, comes back as E_s (L0 + L1·mean). Along the fibre it is the mirrored inclination; across, azimuths
 * spread both ways, a little more to the eye's own side, where both pass the same fibres. Good to 0.12 for lobes to 12°.
 */
export function surfaceLobeMean(out: vec3, normal: ReadonlyVec3, tangent: ReadonlyVec3, o: FibreDirection): vec3 {
  vec3.cross(side, normal, tangent);
  const across = OWN_SIDE * o.sinPhi * o.cosTheta;
  for (let c = 0; c < 3; c++) out[c] = o.surfaceCosine * normal[c] - o.sinTheta * tangent[c] + across * side[c];
  return out;
}

const wide = { eta: 1, surfaceWidthRad: 1, volumeWidthRad: 1, isotropy: 0, exposure: 1 };

function widened(lobes: FibreLobes, variance: number): FibreLobes {
  wide.eta = lobes.eta;
  wide.surfaceWidthRad = widen(lobes.surfaceWidthRad, variance);
  wide.volumeWidthRad = widen(lobes.volumeWidthRad, variance);
  wide.isotropy = lobes.isotropy;
  wide.exposure = lobes.exposure;
  return wide;
}
