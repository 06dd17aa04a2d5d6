import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { type ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { HORIZONS } from './farTypes.ts';
import type { Patch } from './surfels.ts';

/** How far off the thread its rays begin; as in shaders/cloth/light.glsl. */
const START_OFF_MM = 4e-3;
/** No eye and no light looked after stands lower; elevations are taken between here and the zenith. */
const LEAST_ELEVATION = (4 * Math.PI) / 180;
/** Halvings of the range: to 86° / 32 = 2.7°. */
const HALVINGS = 5;
/** Directions about the normal that the sky is looked for in. */
export const SKY_RAYS = 16;
/** So far past the zenith that nothing of it shows. */
const HIDDEN = Math.PI / 2 + 0.2;
const GOLDEN = 0.6180339887498949;

/** Threads one above the other that a ray is followed through. */
const MOST_NESTED = 6;

const UNKNOWN = -1;

const hit = createWalkHit();
const known = new Float64Array(HORIZONS);

/** What the geometry hides from a patch. */
export interface Openness {
  /** Elevation above which the sky is open, rad, at HORIZONS azimuths from `phase` on; HIDDEN where it is not. */
  readonly horizon: Float64Array;
  phase: number;
  /** Cosine-weighted about the normal: share of directions that are open, mean of direction where open, share on warp. */
  open: number;
  readonly openMean: Float64Array;
  onWarp: number;
  rays: number;
}

export function createOpenness(): Openness {
  return {
    horizon: new Float64Array(HORIZONS),
    phase: 0,
    open: 0,
    openMean: new Float64Array(3),
    onWarp: 0,
    rays: 0,
  };
}

/** Outwards from the patch: what light it misses. */
function blocked(walker: ClothWalker, { point, normal }: Patch, dx: number, dy: number, dz: number): boolean {
  return walker.walk(
    hit,
    point[0] + START_OFF_MM * normal[0],
    point[1] + START_OFF_MM * normal[1],
    point[2] + START_OFF_MM * normal[2],
    dx,
    dy,
    dz,
    0,
    Number.POSITIVE_INFINITY,
  );
}

/**
 * Whether a patch lies within another thread, where two press into one another: towards the outside, more threads are left
 * than entered.
 */
export function liesWithin(walker: ClothWalker, { point, normal }: Patch, side: 1 | -1): boolean {
  const { min, max } = walker.cloth.bounds;
  const x = point[0] + START_OFF_MM * normal[0];
  const y = point[1] + START_OFF_MM * normal[1];
  const z = point[2] + START_OFF_MM * normal[2];
  // Between the normal and the way out of the cloth.
  const dx = normal[0];
  const dy = normal[1];
  const dz = normal[2] + side * 0.8;
  const away = ((side > 0 ? max[2] : min[2]) - z) / dz + START_OFF_MM;
  let balance = 0;
  for (let from = 0; balance < MOST_NESTED; balance++) {
    if (!walker.walk(hit, x + away * dx, y + away * dy, z + away * dz, -dx, -dy, -dz, from, away)) break;
    from = hit.t + START_OFF_MM;
  }
  for (let from = 0; balance > 0; balance--) {
    if (!walker.walk(hit, x, y, z, dx, dy, dz, from, away)) break;
    from = hit.t + START_OFF_MM;
  }
  return balance > 0;
}

/**
 * Horizons by halving: cloth is near enough a height field that what rises above its horizon is open.
 * @param side 1 for the face, -1 for the back
 * @param counter makes the azimuths differ from patch to patch
 * @returns whether the patch sees the sky anywhere
 */
export function findHorizons(out: Openness, walker: ClothWalker, patch: Patch, side: 1 | -1, counter: number): boolean {
  const { normal } = patch;
  out.rays = 0;
  out.phase = ((counter * GOLDEN) % 1) * ((2 * Math.PI) / HORIZONS);
  let seen = false;
  let zenith: boolean | undefined;
  for (let k = 0; k < HORIZONS; k++) {
    const azimuth = out.phase + (k * 2 * Math.PI) / HORIZONS;
    const cx = Math.cos(azimuth);
    const cy = Math.sin(azimuth);
    // Below its own tangent plane a patch sees nothing; n · direction says so exactly, so the search begins just above.
    const towards = normal[0] * cx + normal[1] * cy;
    const up = side * normal[2];
    let lo = LEAST_ELEVATION;
    let hi = Math.PI / 2;
    if (towards * Math.cos(lo) + up * Math.sin(lo) < 0.02) lo = Math.atan2(-towards, up) + 0.02;
    if (!(lo < hi)) {
      out.horizon[k] = UNKNOWN;
      continue;
    }
    const hides = (elevation: number) => {
      out.rays++;
      const c = Math.cos(elevation);
      return blocked(walker, patch, c * cx, c * cy, side * Math.sin(elevation));
    };
    if (!hides(lo)) {
      out.horizon[k] = lo === LEAST_ELEVATION ? 0 : UNKNOWN;
      seen = true;
      continue;
    }
    // A patch that faces the zenith takes it as the upper bound, others the last direction before their tangent plane.
    if (up > 0.02) {
      zenith ??= hides(hi);
      if (zenith) {
        out.horizon[k] = HIDDEN;
        continue;
      }
    } else {
      hi = Math.PI - Math.atan2(Math.max(1e-6, towards), -up) - 0.02;
    }
    for (let step = 0; step < HALVINGS; step++) {
      const middle = 0.5 * (lo + hi);
      if (hides(middle)) lo = middle;
      else hi = middle;
    }
    out.horizon[k] = Math.min(Math.PI / 2, 0.5 * (lo + hi));
    seen = true;
  }
  fillUnknown(out.horizon);
  return seen;
}

/**
 * Where a patch's own tangent plane stands higher than any neighbour, neighbours do not matter, but what stands there is
 * mixed into azimuths beside it: they are taken to go on from the nearest known ones.
 */
function fillUnknown(horizon: Float64Array): void {
  known.set(horizon);
  for (let k = 0; k < HORIZONS; k++) {
    if (known[k] !== UNKNOWN) continue;
    let sum = 0;
    let weights = 0;
    for (const way of [1, HORIZONS - 1]) {
      for (let step = 1; step < HORIZONS; step++) {
        const there = known[(k + step * way) % HORIZONS];
        if (there === UNKNOWN) continue;
        sum += there / step;
        weights += 1 / step;
        break;
      }
    }
    horizon[k] = weights > 0 ? sum / weights : 0;
  }
}

/** The light of the room by rays spread with the cosine about the normal (golden-ratio lattice, shifted by patch). */
export function findSky(out: Openness, walker: ClothWalker, patch: Patch, counter: number): void {
  const { normal } = patch;
  const s = normal[2] >= 0 ? 1 : -1;
  // Orthonormal basis about the normal (Duff et al. 2017, JCGT 6(1)).
  const a = -1 / (s + normal[2]);
  const b = normal[0] * normal[1] * a;
  out.open = 0;
  out.onWarp = 0;
  out.openMean.fill(0);
  for (let k = 0; k < SKY_RAYS; k++) {
    const share = (k + ((counter * 0.7548776662466927) % 1)) / SKY_RAYS;
    const turn = 2 * Math.PI * ((k * GOLDEN + counter * 0.5698402909980532) % 1);
    const sine = Math.sqrt(share);
    const p = sine * Math.cos(turn);
    const q = sine * Math.sin(turn);
    const r = Math.sqrt(1 - share);
    const dx = p * (1 + s * normal[0] * normal[0] * a) + q * b + r * normal[0];
    const dy = p * s * b + q * (s + normal[1] * normal[1] * a) + r * normal[1];
    const dz = -p * s * normal[0] - q * normal[1] + r * normal[2];
    out.rays++;
    if (blocked(walker, patch, dx, dy, dz)) {
      if (isWarp(walker)) out.onWarp += 1 / SKY_RAYS;
    } else {
      out.open += 1 / SKY_RAYS;
      out.openMean[0] += dx / SKY_RAYS;
      out.openMean[1] += dy / SKY_RAYS;
      out.openMean[2] += dz / SKY_RAYS;
    }
  }
}

/** Whether the last hit was of the warp; ends and turns are the weft's unless their owner says otherwise. */
function isWarp({ cloth }: ClothWalker): boolean {
  if (hit.kind !== ThreadKind.extra) return hit.kind === ThreadKind.warp;
  return (cloth.extraTable[(hit.index * 3 + 2) * 4 + 3] & 1) === 1;
}
