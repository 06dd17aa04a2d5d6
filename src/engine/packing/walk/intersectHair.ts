import { MAX_HAIR_LOOKS } from '#engine/packing/clothBufferLayout.ts';
import { hash3, unitFromHash } from '#engine/scatter/hash3.ts';
import { type HairHit, meetHair, placeHair, QUARTER } from './hairCurve.ts';
import type { LocalRay } from './intersectTube.ts';
import type { TubeSegment } from './tubeSegment.ts';

/** Words beside the cells' own that the hash of a lattice's place takes. */
const LATTICE_WORD = 0x6a09e667;
/** Steepest lean, rad: no hair lies in the surface. */
const STEEPEST_LEAN = 1.5;

const words = new Uint32Array(3);
const from = new Float64Array(3);
const rate = new Float64Array(3);

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
  const sizeA = s.a0 + step * s.aChange;
  const sizeB = s.b0 + step * s.bChange;
  const full = table[s.hair + 11];
  const core = table[s.hair + 2];
  const squash = full > 0 ? Math.min(1, (sizeA + sizeB) / (core * full * (s.contactA + s.contactB))) : 1;

  const layers = Math.floor(table[s.hair + 1]);
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
          placeHair(words, sizeA, sizeB, shift + cell * cellMm, cellMm, turn + quarter * QUARTER, run, rise);
          meetHair(out, from, rate, dd, radius, taper, best);
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
