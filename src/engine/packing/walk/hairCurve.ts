import { hash3, unitFromHash } from '#engine/scatter/hash3.ts';

/** A hair that a ray met: t (Infinity: none), its direction there in the segment's axes, and how high on it, 0..1. */
export interface HairHit {
  t: number;
  along: number;
  side: number;
  up: number;
  high: number;
  /** Unit normal of its surface there. */
  normalAlong: number;
  normalSide: number;
  normalUp: number;
}

export function createHairHit(): HairHit {
  return { t: Number.POSITIVE_INFINITY, along: 0, side: 0, up: 0, high: 0, normalAlong: 0, normalSide: 0, normalUp: 0 };
}

/** A quarter of a turn, rad. */
export const QUARTER = Math.PI / 2;
/** Hairs begin this far within the body, over its radius, so that no gap shows at the root. */
const SUNK = 0.95;
/** Of its cell, what a hair may run along the yarn and (rad) around it. */
const MOST_ALONG = 0.95;
const MOST_AROUND = 1.2;

const more = new Uint32Array(3);
/** The hair placed last: a quadratic Bézier curve, root, chord and half the sagitta's control, in (along, side, up). */
const root = new Float64Array(3);
const chord = new Float64Array(3);
const bow = new Float64Array(3);
const tangent = new Float64Array(3);
const gap = new Float64Array(3);
const square = new Float64Array(3);
let sizeA = 0;
let sizeB = 0;

/** Places the hair of a cell that begins at `start` along and `quarter` around a body of semi-axes a, b, by its hash. */
export function placeHair(
  words: Uint32Array,
  a: number,
  b: number,
  start: number,
  cellMm: number,
  quarter: number,
  run: number,
  rise: number,
): void {
  sizeA = a;
  sizeB = b;
  hash3(more, words[0], words[1], words[2]);
  const way = (2 * Math.PI * (words[0] & 255)) / 256;
  const along = Math.min(MOST_ALONG * cellMm, Math.max(-MOST_ALONG * cellMm, run * Math.cos(way)));
  const around = (run * Math.sin(way)) / (0.5 * (sizeA + sizeB) + 0.5 * rise);
  const angle = Math.min(MOST_AROUND, Math.max(-MOST_AROUND, around));
  const s0 = start + Math.max(0, -along) + unitFromHash(more[0]) * (cellMm - Math.abs(along));
  const phi0 = quarter + Math.max(0, -angle) + unitFromHash(more[1]) * (QUARTER - Math.abs(angle));
  // It rises first and leans over then.
  const share = 0.2 + 0.3 * unitFromHash(more[2]);
  const bend = rise * (0.55 + (0.4 * (more[2] & 255)) / 256);
  pointAt(root, s0, phi0, SUNK, 0);
  pointAt(bow, s0 + share * along, phi0 + share * angle, 1, bend);
  pointAt(chord, s0 + along, phi0 + angle, 1, rise);
  for (let k = 0; k < 3; k++) {
    bow[k] = 0.5 * (bow[k] - 0.5 * (root[k] + chord[k]));
    chord[k] -= root[k];
  }
}

/** Place along, angle about the centre line, share of the section's radius there, height over it. */
function pointAt(out: Float64Array, along: number, angle: number, share: number, height: number): void {
  const x = Math.cos(angle);
  const y = Math.sin(angle);
  const r = share / Math.sqrt((x * x) / (sizeA * sizeA) + (y * y) / (sizeB * sizeB)) + height;
  out[0] = along;
  out[1] = r * x;
  out[2] = r * y;
}

/** Sets out where the ray from + t rate (dd: rate squared) meets the placed hair before `best`; leaves it otherwise. */
export function meetHair(
  out: HairHit,
  from: Float64Array,
  rate: Float64Array,
  dd: number,
  radius: number,
  taper: number,
  best: number,
): void {
  let f = 0.5;
  for (let k = 0; k < 3; k++) {
    const bent = 4 * (1 - 2 * f);
    const arch = 4 * f * (1 - f);
    let b = 0;
    let c = 0;
    let dw = 0;
    let tw = 0;
    for (let axis = 0; axis < 3; axis++) {
      tangent[axis] = chord[axis] + bent * bow[axis];
      const w = from[axis] - root[axis] - f * chord[axis] - arch * bow[axis];
      gap[axis] = w;
      b += rate[axis] * tangent[axis];
      c += tangent[axis] * tangent[axis];
      dw += rate[axis] * w;
      tw += tangent[axis] * w;
    }
    // The curve leaves the tangent at its middle by the bow at most: lines further apart than that pass each other by.
    if (k === 0) {
      const nx = rate[1] * tangent[2] - rate[2] * tangent[1];
      const ny = rate[2] * tangent[0] - rate[0] * tangent[2];
      const nz = rate[0] * tangent[1] - rate[1] * tangent[0];
      const apart = nx * gap[0] + ny * gap[1] + nz * gap[2];
      const within = radius + Math.hypot(bow[0], bow[1], bow[2]);
      if (apart * apart > within * within * (nx * nx + ny * ny + nz * nz)) return;
    }
    f = Math.min(1, Math.max(0, f + (dd * tw - b * dw) / Math.max(dd * c - b * b, 1e-12)));
  }
  const arch = 4 * f * (1 - f);
  let dw = 0;
  for (let axis = 0; axis < 3; axis++) {
    tangent[axis] = chord[axis] + 4 * (1 - 2 * f) * bow[axis];
    gap[axis] = from[axis] - root[axis] - f * chord[axis] - arch * bow[axis];
    dw += rate[axis] * gap[axis];
  }
  const near = -dw / dd;
  let off2 = 0;
  for (let axis = 0; axis < 3; axis++) {
    gap[axis] += near * rate[axis];
    off2 += gap[axis] * gap[axis];
  }
  const thick = radius * (1 - taper * f);
  if (off2 >= thick * thick) return;
  const t = near - Math.sqrt((thick * thick - off2) / dd);
  if (!(t > 0 && t < best)) return;
  const length = Math.hypot(tangent[0], tangent[1], tangent[2]);
  out.t = t;
  out.along = tangent[0] / length;
  out.side = tangent[1] / length;
  out.up = tangent[2] / length;
  out.high = f;
  // Towards where the ray comes from, square to the hair, and beside that by how far it passes off the middle.
  const slide = (rate[0] * tangent[0] + rate[1] * tangent[1] + rate[2] * tangent[2]) / (length * length);
  let square2 = 0;
  for (let axis = 0; axis < 3; axis++) {
    square[axis] = rate[axis] - slide * tangent[axis];
    square2 += square[axis] * square[axis];
  }
  const facing = -Math.sqrt((1 - off2 / (thick * thick)) / Math.max(square2, 1e-12));
  out.normalAlong = gap[0] / thick + facing * square[0];
  out.normalSide = gap[1] / thick + facing * square[1];
  out.normalUp = gap[2] / thick + facing * square[2];
}
