import { MAX_HAIR_LOOKS } from '#engine/packing/clothBufferLayout.ts';
import { hash3, unitFromHash } from '#engine/scatter/hash3.ts';
import type { LocalRay } from './intersectTube.ts';
import type { TubeSegment } from './tubeSegment.ts';

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

const QUARTER = Math.PI / 2;
/** Words beside the cells' own that the hash of a lattice's place takes. */
const LATTICE_WORD = 0x6a09e667;
/** Hairs begin this far within the body, over its radius, so that no gap shows at the root. */
const SUNK = 0.95;
/** Steepest lean, rad: no hair lies in the surface. */
const STEEPEST_LEAN = 1.5;
/** Of its cell, what a hair may run along the yarn and (rad) around it. */
const MOST_ALONG = 0.95;
const MOST_AROUND = 1.2;

const words = new Uint32Array(3);
const more = new Uint32Array(3);
/** A hair: a quadratic Bézier curve, root, chord and half the sagitta's control, in (along, side, up). */
const root = new Float64Array(3);
const chord = new Float64Array(3);
const bow = new Float64Array(3);
const from = new Float64Array(3);
const rate = new Float64Array(3);
const tangent = new Float64Array(3);
const gap = new Float64Array(3);
const square = new Float64Array(3);
let sizeA = 0;
let sizeB = 0;

/**
 * First hair of a thread that a ray meets within the segment's own range at t in (tMin, tMax).
 *
 * Hair lives in the space of the thread laid straight: place along the thread's line, and place beside its centre line.
 * There the ray is taken as straight between where it comes within the hair's reach and where it leaves, and each of the
 * yarn's lattices (one hair a cell: a length of yarn by a quarter of a turn, turned and shifted by a hash) is crossed cell
 * by cell. Root, bend and tip of a hair lie in its own cell, which is convex, so no neighbour is looked at. Where the ray
 * and the curve come nearest is found by three Newton steps from the curve's middle.
 * @param thread row * 2, or end * 2 + 1
 * @param table the material table
 */
export function intersectHair(
  out: HairHit,
  table: Float32Array,
  thread: number,
  s: TubeSegment,
  ray: LocalRay,
  tMin: number,
  tMax: number,
): boolean {
  out.t = Number.POSITIVE_INFINITY;
  const shell = table[s.hair];
  const radius = table[s.hair + 3];
  const uO = (ray.alongO - s.along) / s.pitch;
  const uD = ray.alongD / s.pitch;
  let lo = tMin;
  let hi = tMax;
  if (Math.abs(uD) < 1e-7) {
    if (uO < 0 || uO > 1) return false;
  } else {
    const t0 = -uO / uD;
    const t1 = (1 - uO) / uD;
    lo = Math.max(lo, Math.min(t0, t1));
    hi = Math.min(hi, Math.max(t0, t1));
  }
  if (lo >= hi) return false;

  // As in intersectTube: a straight tube from node to node, wide enough for the curve, and for hair.
  const dO = s.o1 + s.o2 + s.o3;
  const dZ = s.z1 + s.z2 + s.z3;
  const oEnd = s.o1 + 2 * s.o2 + 3 * s.o3;
  const zEnd = s.z1 + 2 * s.z2 + 3 * s.z3;
  const wrapMost = Math.max(Math.abs(s.wrapStart), Math.abs(s.wrapStart + s.wrapChange));
  const reach = shell + radius;
  const a = s.a0 + Math.max(0, s.aChange) + reach + (4 / 27) * (Math.abs(s.o1 - dO) + Math.abs(oEnd - dO));
  const b =
    s.b0 + Math.max(0, s.bChange) + reach + (4 / 27) * (Math.abs(s.z1 - dZ) + Math.abs(zEnd - dZ)) + wrapMost / 16;
  const x0 = (ray.sideO - s.o0 - dO * uO) / a;
  const y0 = (ray.upO - s.z0 - dZ * uO) / b;
  const x1 = (ray.sideD - dO * uD) / a;
  const y1 = (ray.upD - dZ * uD) / b;
  const ca = x1 * x1 + y1 * y1;
  const cb = x0 * x1 + y0 * y1;
  const cc = x0 * x0 + y0 * y0 - 1;
  const disc = cb * cb - ca * cc;
  if (disc < 0) return false;
  if (ca > 1e-10) {
    const half = Math.sqrt(disc);
    lo = Math.max(lo, (-cb - half) / ca);
    hi = Math.min(hi, (-cb + half) / ca);
  } else if (cc > 0) return false;
  if (!(hi - lo > 1e-6)) return false;

  // The ray beside the centre line, straight from end to end; from here on times count from lo.
  const uLo = uO + lo * uD;
  const uHi = uO + hi * uD;
  const span = hi - lo;
  from[0] = ray.alongO + lo * ray.alongD;
  from[1] = ray.sideO + lo * ray.sideD - offsetAt(s, uLo);
  from[2] = ray.upO + lo * ray.upD - heightAt(s, uLo);
  rate[0] = ray.alongD;
  rate[1] = (ray.sideO + hi * ray.sideD - offsetAt(s, uHi) - from[1]) / span;
  rate[2] = (ray.upO + hi * ray.upD - heightAt(s, uHi) - from[2]) / span;
  const middle = Math.min(1, Math.max(0, 0.5 * (uLo + uHi)));
  const step = middle * middle * (3 - 2 * middle);
  sizeA = s.a0 + step * s.aChange;
  sizeB = s.b0 + step * s.bChange;
  const full = table[s.hair + 11];
  const core = table[s.hair + 2];
  const squash = full > 0 ? Math.min(1, (sizeA + sizeB) / (core * full * (s.contactA + s.contactB))) : 1;

  const layers = table[s.hair + 1];
  const cellMm = table[s.hair + 8];
  const presence = 256 * table[s.hair + 9];
  const mean = table[s.hair + 4];
  const longest = table[s.hair + 5];
  const evenness = table[s.hair + 7];
  const taper = table[s.hair + 10];
  const dd = rate[0] ** 2 + rate[1] ** 2 + rate[2] ** 2;
  const cross2 = rate[1] ** 2 + rate[2] ** 2;
  const nearest = cross2 > 1e-12 ? -(from[1] * rate[1] + from[2] * rate[2]) / cross2 : 0;
  const sizeMost = Math.max(sizeA, sizeB);
  const cut = 1 - Math.exp(-longest / mean);

  const closest = Math.min(span, Math.max(0, nearest));
  const apart = Math.hypot(from[1] + closest * rate[1], from[2] + closest * rate[2]) - sizeMost - radius;

  let best = span;
  let looks = 0;
  for (let layer = 0; layer < layers; layer++) {
    // Lattices hold hairs of their own lengths, the longest first: where the ray passes further off, it passes all the rest.
    const tallest = lengthOf(1 - layer / layers, cut, mean, longest, evenness, 1);
    if (apart > Math.min(shell, tallest) * squash) break;
    hash3(words, thread, layer, LATTICE_WORD);
    const shift = unitFromHash(words[0]) * cellMm;
    const turn = unitFromHash(words[1]) * 2 * Math.PI;
    const cos = Math.cos(turn);
    const sin = Math.sin(turn);
    // The ray in the lattice's own axes, whose quadrants are its quarters.
    const qx = from[1] * cos + from[2] * sin;
    const qy = from[2] * cos - from[1] * sin;
    const qxRate = rate[1] * cos + rate[2] * sin;
    const qyRate = rate[2] * cos - rate[1] * sin;
    const tx = crossing(qx, qxRate);
    const ty = crossing(qy, qyRate);
    let cell = Math.floor((from[0] - shift) / cellMm);
    let t = 0;
    while (looks < MAX_HAIR_LOOKS) {
      looks++;
      const side = shift + (rate[0] > 0 ? cell + 1 : cell) * cellMm;
      const ts = Math.abs(rate[0]) > 1e-7 ? (side - from[0]) / rate[0] : Number.POSITIVE_INFINITY;
      let next = Math.min(span, ts);
      if (tx > t) next = Math.min(next, tx);
      if (ty > t) next = Math.min(next, ty);
      const inside = 0.5 * (t + next);
      const east = qx + inside * qxRate > 0;
      const north = qy + inside * qyRate > 0;
      const quarter = north ? (east ? 0 : 1) : east ? 3 : 2;
      hash3(words, thread, layer * 4 + quarter, cell);
      if ((words[2] & 255) < presence) {
        const u0 = unitFromHash(words[0]);
        const length = lengthOf(1 - (layer + u0) / layers, cut, mean, longest, evenness, u0);
        const lean = Math.min(STEEPEST_LEAN, 2 * table[s.hair + 6] * unitFromHash(words[1]));
        const stands = Math.min(length * Math.cos(lean), shell);
        const rise = stands * squash;
        const close = Math.min(next, Math.max(t, nearest));
        const away2 = (from[1] + close * rate[1]) ** 2 + (from[2] + close * rate[2]) ** 2;
        if (away2 < (sizeMost + rise + radius) ** 2) {
          const run = Math.sqrt(Math.max(0, length * length - stands * stands));
          placeHair(shift + cell * cellMm, cellMm, turn + quarter * QUARTER, run, rise);
          meet(out, dd, radius, taper, best);
          if (out.t < best && out.t > 0) best = out.t;
        }
      }
      if (next >= best) break;
      t = next;
      if (next === ts) cell += rate[0] > 0 ? 1 : -1;
    }
  }
  if (best >= span) {
    out.t = Number.POSITIVE_INFINITY;
    return false;
  }
  out.t = lo + best;
  return true;
}

/** Of hairs that fall off exponentially, cut off at the longest, the length that a share u are shorter than; of even ones, by v. */
function lengthOf(u: number, cut: number, mean: number, longest: number, evenness: number, v: number): number {
  return (1 - evenness) * Math.min(longest, -mean * Math.log(1 - u * cut)) + evenness * mean * (0.8 + 0.4 * v);
}

function crossing(at: number, perT: number): number {
  return Math.abs(perT) > 1e-12 ? -at / perT : -1;
}

function offsetAt(s: TubeSegment, u: number): number {
  return s.o0 + u * (s.o1 + u * (s.o2 + u * s.o3));
}

function heightAt(s: TubeSegment, u: number): number {
  const q = u * (1 - u);
  return s.z0 + u * (s.z1 + u * (s.z2 + u * s.z3)) + q * q * (s.wrapStart + u * s.wrapChange);
}

/** The hair of a cell that begins at `start` along and `quarter` around, from the hash `words`: root, chord and bow. */
function placeHair(start: number, cellMm: number, quarter: number, run: number, rise: number): void {
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

/** Sets out where the ray meets the hair before `best`; leaves it otherwise. */
function meet(out: HairHit, dd: number, radius: number, taper: number, best: number): void {
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
