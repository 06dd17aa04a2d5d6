import type { ReadonlyVec3, vec3 } from 'gl-matrix';
import { hash3, unitFromHash } from './hash3.ts';

/** Seed that sets facets apart from other noise of the same thread. */
const FACET_SEED = 4242;
/** Makes the variance 1: √3 for the uniform deviate, 1/√(26/35) for blending two with a smoothstep. */
const SPREAD = Math.sqrt(3) / Math.sqrt(26 / 35);

const low = new Uint32Array(3);
const high = new Uint32Array(3);

/**
 * How a thread's facet leans at a place along it: film wanders with the slight twist it takes in the shed.
 * Smooth noise with one deviate per `lengthMm`, keyed to the thread, so that a spark stays where it is.
 * @param out [0] lean along the thread, [1] lean across; rad, each of mean 0 and variance tiltRad², at most 2.0 tiltRad
 * @param thread identity, ≥ 0
 * @param alongMm arc length
 */
export function facetTilt(out: vec3, thread: number, alongMm: number, lengthMm: number, tiltRad: number): vec3 {
  const place = alongMm / Math.max(1e-3, lengthMm);
  const cell = Math.floor(place);
  const part = place - cell;
  const w = part * part * (3 - 2 * part);
  hash3(low, thread, cell, FACET_SEED);
  hash3(high, thread, cell + 1, FACET_SEED);
  for (let c = 0; c < 2; c++) {
    const a = 2 * unitFromHash(low[c]) - 1;
    const b = 2 * unitFromHash(high[c]) - 1;
    out[c] = tiltRad * SPREAD * (a + w * (b - a));
  }
  return out;
}

/** Seed of an embossed film's patches. */
const PATCH_SEED = 7177;
/** Patches' rulings are this much closer or wider than the mean, at most (estimate). */
const PITCH_SWING = 0.2;
/** What lies on the back is another part of the pattern. */
const BACK_CELLS = 64;
const BIAS = 65536;
const patchWords = new Uint32Array(3);

/**
 * How an embossed film's patch at a place is ruled. Films are embossed in patches that each have a ruling of their own, turned and
 * spaced for itself, so that from anywhere some of them throw colour (common practice of dot and shard patterns): here the
 * cells of points strewn one to a square (Worley 1996), keyed to the thread.
 * @param out [0] turn of the ruling from the thread's own direction, 0..π rad; [1] its pitch over the film's mean
 * @param acrossMm from the strip's middle
 * @param patchMm patches lie so far apart
 */
export function gratingPatch(
  out: vec3,
  thread: number,
  alongMm: number,
  acrossMm: number,
  back: boolean,
  patchMm: number,
): vec3 {
  const x = alongMm / patchMm;
  const y = acrossMm / patchMm + (back ? BACK_CELLS : 0);
  let nearest = 1e9;
  let found = 0;
  for (let k = 0; k < 9; k++) {
    const cellX = Math.floor(x) + (k % 3) - 1;
    const cellY = Math.floor(y) + Math.floor(k / 3) - 1;
    hash3(patchWords, cellX + BIAS, cellY + BIAS, thread + PATCH_SEED);
    const offX = cellX + unitFromHash(patchWords[0]) - x;
    const offY = cellY + unitFromHash(patchWords[1]) - y;
    const away = offX * offX + offY * offY;
    if (away < nearest) {
      nearest = away;
      found = unitFromHash(patchWords[2]);
    }
  }
  const again = 7 * found;
  out[0] = Math.PI * found;
  out[1] = 1 + PITCH_SWING * (2 * (again - Math.floor(again)) - 1);
  return out;
}

/** Turns normal and tangent by a facet's lean; both stay unit and square to each other. */
export function leanFrame(normal: vec3, tangent: vec3, tilt: ReadonlyVec3): void {
  const sx = normal[1] * tangent[2] - normal[2] * tangent[1];
  const sy = normal[2] * tangent[0] - normal[0] * tangent[2];
  const sz = normal[0] * tangent[1] - normal[1] * tangent[0];
  const x = normal[0] - tilt[0] * tangent[0] - tilt[1] * sx;
  const y = normal[1] - tilt[0] * tangent[1] - tilt[1] * sy;
  const z = normal[2] - tilt[0] * tangent[2] - tilt[1] * sz;
  const length = Math.hypot(x, y, z);
  normal[0] = x / length;
  normal[1] = y / length;
  normal[2] = z / length;
  const along = normal[0] * tangent[0] + normal[1] * tangent[1] + normal[2] * tangent[2];
  const tx = tangent[0] - along * normal[0];
  const ty = tangent[1] - along * normal[1];
  const tz = tangent[2] - along * normal[2];
  const size = Math.hypot(tx, ty, tz);
  tangent[0] = tx / size;
  tangent[1] = ty / size;
  tangent[2] = tz / size;
}
