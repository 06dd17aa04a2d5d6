import {
  CLASS_TEXELS,
  type FarCloth,
  GROUP_AT,
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

/** Over which elevation, rad either way, a horizon fades: what the halving leaves unknown. */
export const HORIZON_FADE = 0.03;

/** How far a unit direction stands above a surfel's horizon, 0..1. side: 1 face, -1 back. */
export function surfelOpen(table: Float32Array, at: number, x: number, y: number, z: number, fade: number): number {
  const phase = table[at + 13];
  const turn = (((Math.atan2(y, x) - phase) / (2 * Math.PI)) * HORIZONS + 2 * HORIZONS) % HORIZONS;
  const k = Math.floor(turn) % HORIZONS;
  const part = turn - Math.floor(turn);
  const horizon = table[at + 16 + k] * (1 - part) + table[at + 16 + ((k + 1) % HORIZONS)] * part;
  const elevation = Math.asin(Math.min(1, Math.max(-1, z)));
  return Math.min(1, Math.max(0, (elevation - horizon) / (2 * fade) + 0.5));
}

const factor = new Float64Array(2);

/** The group that a class's views are fitted with. */
export function groupOf(far: FarCloth, index: number): number {
  return far.classTable[index * CLASS_TEXELS * 4 + GROUP_AT];
}

/** The view table between its directions, for warp and weft of a group. */
export function viewFactor(
  out: Float64Array,
  far: FarCloth,
  [x, y, z]: readonly [number, number, number],
  group: number,
): void {
  const inclination = (Math.acos(Math.min(1, Math.abs(z))) * 180) / Math.PI;
  let ring = 0;
  while (ring < VIEW_RINGS - 2 && inclination > RING_DEGREES[ring + 1]) ring++;
  const up = Math.min(1, (inclination - RING_DEGREES[ring]) / (RING_DEGREES[ring + 1] - RING_DEGREES[ring]));
  const turn = ((Math.atan2(y, x) / (2 * Math.PI)) * VIEW_AZIMUTHS + VIEW_AZIMUTHS) % VIEW_AZIMUTHS;
  const first = Math.floor(turn) % VIEW_AZIMUTHS;
  const along = turn - Math.floor(turn);
  const side = 2 * VIEW_RINGS * group + (z < 0 ? VIEW_RINGS : 0);
  for (let family = 0; family < 2; family++) {
    const at = (r: number, a: number) => far.viewTable[((side + r) * VIEW_AZIMUTHS + (a % VIEW_AZIMUTHS)) * 4 + family];
    const here = at(ring, first) * (1 - along) + at(ring, first + 1) * along;
    const above = at(ring + 1, first) * (1 - along) + at(ring + 1, first + 1) * along;
    out[family] = here * (1 - up) + above * up;
  }
}

/**
 * Shares over the whole cloth, each class by its crossings and their area, made to agree with what rays find from near the view.
 * @param view, light unit directions towards eye and light, cloth axes
 */
export function farShares(
  far: FarCloth,
  view: readonly [number, number, number],
  light: readonly [number, number, number],
): FarShares {
  const out = { warp: 0, weft: 0, warpLit: 0, weftLit: 0 };
  const of = { warp: 0, weft: 0, warpLit: 0, weftLit: 0 };
  let whole = 0;
  for (let index = 0; index < far.classes; index++) whole += classArea(far, index);
  for (let index = 0; index < far.classes; index++) {
    classShares(of, far, index, view, light);
    viewFactor(factor, far, view, groupOf(far, index));
    const weight = classArea(far, index) / whole;
    out.warp += weight * factor[0] * of.warp;
    out.warpLit += weight * factor[0] * of.warpLit;
    out.weft += weight * factor[1] * of.weft;
    out.weftLit += weight * factor[1] * of.weftLit;
  }
  return out;
}

/** Area of a class's crossings over that of the cloth, up to a factor that all classes share. */
export function classArea(far: FarCloth, index: number): number {
  const at = index * CLASS_TEXELS * 4;
  return far.classTable[at + 6] * far.classTable[at + 7];
}

/** Shares of one class's own outline, by its surfels alone. */
export function classShares(
  out: FarShares,
  far: FarCloth,
  index: number,
  view: readonly [number, number, number],
  light: readonly [number, number, number],
): void {
  const side = view[2] < 0 ? -1 : 1;
  const t = far.surfelTable;
  const at = index * CLASS_TEXELS * 4 + (side === 1 ? 0 : 2);
  const first = far.classTable[at];
  out.warp = 0;
  out.weft = 0;
  out.warpLit = 0;
  out.weftLit = 0;
  for (let k = first; k < first + far.classTable[at + 1]; k++) {
    const s = k * SURFEL_TEXELS * 4;
    const facing = t[s] * view[0] + t[s + 1] * view[1] + t[s + 2] * view[2];
    if (facing <= 0) continue;
    const shown =
      (t[s + 3] * facing * surfelOpen(t, s, view[0], view[1], side * view[2], HORIZON_FADE)) / Math.abs(view[2]);
    const isWarp = t[s + 7] === 1;
    out[isWarp ? 'warp' : 'weft'] += shown;
    const faces = t[s] * light[0] + t[s + 1] * light[1] + t[s + 2] * light[2] > 0;
    if (!faces || side * light[2] <= 0) continue;
    const lit = surfelOpen(t, s, light[0], light[1], side * light[2], HORIZON_FADE);
    out[isWarp ? 'warpLit' : 'weftLit'] += shown * lit;
  }
}
