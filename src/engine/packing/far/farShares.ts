import {
  CLASS_TEXELS,
  type FarCloth,
  HORIZONS,
  RING_DEGREES,
  SURFEL_TEXELS,
  VIEW_AZIMUTHS,
  VIEW_RINGS,
} from './farTypes.ts';

/** Shares of the cloth's outline that each family shows to an eye, and that show while a light reaches them. */
export interface FarShares {
  warp: number;
  weft: number;
  warpLit: number;
  weftLit: number;
}

/** Over which sine of elevation a horizon fades: what the halving leaves unknown. */
export const HORIZON_FADE = 0.03;

/** How far a unit direction stands above a surfel's horizon, 0..1. side: 1 face, -1 back. */
export function surfelOpen(table: Float32Array, at: number, x: number, y: number, z: number, fade: number): number {
  const phase = table[at + 13];
  const turn = (((Math.atan2(y, x) - phase) / (2 * Math.PI)) * HORIZONS + 2 * HORIZONS) % HORIZONS;
  const k = Math.floor(turn) % HORIZONS;
  const part = turn - Math.floor(turn);
  const horizon = table[at + 16 + k] * (1 - part) + table[at + 16 + ((k + 1) % HORIZONS)] * part;
  const up = Math.min(1, Math.max(0, (z - horizon) / (2 * fade) + 0.5));
  return up;
}

const factor = new Float64Array(2);

/** Shares over the whole cloth as `surfelShares` has them, made to agree with what rays find from near the view. */
export function farShares(
  far: FarCloth,
  view: readonly [number, number, number],
  light: readonly [number, number, number],
): FarShares {
  const out = surfelShares(far, view, light);
  viewFactor(factor, far, view);
  out.warp *= factor[0];
  out.warpLit *= factor[0];
  out.weft *= factor[1];
  out.weftLit *= factor[1];
  return out;
}

/** The view table between its directions, for warp and weft. */
export function viewFactor(out: Float64Array, far: FarCloth, [x, y, z]: readonly [number, number, number]): void {
  const inclination = (Math.acos(Math.min(1, Math.abs(z))) * 180) / Math.PI;
  let ring = 0;
  while (ring < VIEW_RINGS - 2 && inclination > RING_DEGREES[ring + 1]) ring++;
  const up = Math.min(1, (inclination - RING_DEGREES[ring]) / (RING_DEGREES[ring + 1] - RING_DEGREES[ring]));
  const turn = ((Math.atan2(y, x) / (2 * Math.PI)) * VIEW_AZIMUTHS + VIEW_AZIMUTHS) % VIEW_AZIMUTHS;
  const first = Math.floor(turn) % VIEW_AZIMUTHS;
  const along = turn - Math.floor(turn);
  const side = z < 0 ? VIEW_RINGS : 0;
  for (let family = 0; family < 2; family++) {
    const at = (r: number, a: number) => far.viewTable[((side + r) * VIEW_AZIMUTHS + (a % VIEW_AZIMUTHS)) * 4 + family];
    const here = at(ring, first) * (1 - along) + at(ring, first + 1) * along;
    const above = at(ring + 1, first) * (1 - along) + at(ring + 1, first + 1) * along;
    out[family] = here * (1 - up) + above * up;
  }
}

/**
 * Shares over the whole cloth by surfels alone, each class by its crossings and their area.
 * @param view, light unit directions towards eye and light, cloth axes
 */
export function surfelShares(
  far: FarCloth,
  view: readonly [number, number, number],
  light: readonly [number, number, number],
): FarShares {
  const out = { warp: 0, weft: 0, warpLit: 0, weftLit: 0 };
  const side = view[2] < 0 ? -1 : 1;
  const areaOf = (index: number) => {
    const at = index * CLASS_TEXELS * 4;
    return far.classTable[at + 6] * far.classTable[at + 7];
  };
  let whole = 0;
  for (let index = 0; index < far.classes; index++) whole += areaOf(index);
  for (let index = 0; index < far.classes; index++) {
    const at = index * CLASS_TEXELS * 4 + (side === 1 ? 0 : 2);
    const weight = areaOf(index) / whole;
    const first = far.classTable[at];
    for (let k = first; k < first + far.classTable[at + 1]; k++) {
      const s = k * SURFEL_TEXELS * 4;
      const t = far.surfelTable;
      const facing = t[s] * view[0] + t[s + 1] * view[1] + t[s + 2] * view[2];
      if (facing <= 0) continue;
      const shown =
        (weight * t[s + 3] * facing * surfelOpen(t, s, view[0], view[1], side * view[2], HORIZON_FADE)) /
        Math.abs(view[2]);
      const isWarp = t[s + 7] === 1;
      out[isWarp ? 'warp' : 'weft'] += shown;
      const faces = t[s] * light[0] + t[s + 1] * light[1] + t[s + 2] * light[2] > 0;
      if (!faces || side * light[2] <= 0) continue;
      const lit = surfelOpen(t, s, light[0], light[1], side * light[2], HORIZON_FADE);
      out[isWarp ? 'warpLit' : 'weftLit'] += shown * lit;
    }
  }
  return out;
}
