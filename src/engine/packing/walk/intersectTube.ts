import {
  BEND_SHARE,
  NEWTON_STEPS,
  SEGMENT_OVERLAP,
  SURFACE_TOLERANCE,
  TUBE_PIECES,
} from '#engine/packing/clothBufferLayout.ts';
import { createSectionValue, createTubePoint, sectionAt, type TubeSegment, tubePointAt } from './tubeSegment.ts';

/** A ray in a segment's own axes: along the thread, sideways, up. */
export interface LocalRay {
  alongO: number;
  alongD: number;
  sideO: number;
  sideD: number;
  upO: number;
  upD: number;
}

const point = createTubePoint();
const value = createSectionValue();

function evaluate(segment: TubeSegment, ray: LocalRay, uO: number, uD: number, t: number): void {
  tubePointAt(point, segment, uO + t * uD);
  sectionAt(value, point, ray.sideO + t * ray.sideD, ray.upO + t * ray.upD, ray.alongD, ray.sideD, ray.upD);
}

/**
 * First t in (tMin, tMax) at which the ray enters the tube from outside, within the segment's own range; else Infinity.
 * A ray that comes through the segment's end plane within the section meets it there; where the thread goes on, its
 * neighbour was met before. An inflated straight tube bounds the search; each piece of it is linearised for the nearest
 * approach, and the root between is closed in by solving the linearised section again at each step, held in a bracket.
 * Error at most SURFACE_TOLERANCE / 2 of the half width at normal incidence.
 */
export function intersectTube(segment: TubeSegment, ray: LocalRay, tMin: number, tMax: number): number {
  const uO = (ray.alongO - segment.along) / segment.pitch;
  const uD = ray.alongD / segment.pitch;
  let lo = tMin;
  let hi = tMax;
  let plane = Number.NEGATIVE_INFINITY;
  // A ray square to the thread never leaves the segment's range; dividing by its drift would overflow.
  if (Math.abs(uD) < 1e-7) {
    if (uO < -SEGMENT_OVERLAP || uO > 1 + SEGMENT_OVERLAP) return Number.POSITIVE_INFINITY;
  } else {
    const t0 = (-SEGMENT_OVERLAP - uO) / uD;
    const t1 = (1 + SEGMENT_OVERLAP - uO) / uD;
    plane = Math.min(t0, t1);
    lo = Math.max(lo, plane);
    hi = Math.min(hi, Math.max(t0, t1));
    if (lo >= hi) return Number.POSITIVE_INFINITY;
  }

  // Straight tube from node to node, wide enough for the curve: h10 and h11 are at most 4/27, wrap's share 1/16.
  const dO = segment.o1 + segment.o2 + segment.o3;
  const dZ = segment.z1 + segment.z2 + segment.z3;
  const oEnd = segment.o1 + 2 * segment.o2 + 3 * segment.o3;
  const zEnd = segment.z1 + 2 * segment.z2 + 3 * segment.z3;
  const wrapMost = Math.max(Math.abs(segment.wrapStart), Math.abs(segment.wrapStart + segment.wrapChange));
  const awayO = (4 / 27) * (Math.abs(segment.o1 - dO) + Math.abs(oEnd - dO));
  const awayZ = (4 / 27) * (Math.abs(segment.z1 - dZ) + Math.abs(zEnd - dZ)) + wrapMost / 16;
  // |h00'| <= 3/2, |h10'| and |h11'| <= 1, and wrap's term rises at most 0.25 a unit.
  const steepO = (1.5 * Math.abs(dO) + Math.abs(segment.o1) + Math.abs(oEnd)) / segment.pitch;
  const steepZ = (1.5 * Math.abs(dZ) + Math.abs(segment.z1) + Math.abs(zEnd) + wrapMost / 4) / segment.pitch;
  const aMost = segment.a0 + Math.max(0, segment.aChange);
  const bMost = segment.b0 + Math.max(0, segment.bChange);
  // The foot lies within half the section's upright extent, so the bend moves a surface by at most a 1/8 part of this.
  const tallO = aMost * Math.sqrt(1 + steepO * steepO);
  const tallZ = bMost * Math.sqrt(1 + steepZ * steepZ);
  const reach2 = (tallO + tallZ) ** 2 / (8 * segment.pitch * segment.pitch);
  const bentO = 2 * Math.max(Math.abs(segment.o2), Math.abs(segment.o2 + 3 * segment.o3)) * reach2;
  const bentZ = 2 * (Math.max(Math.abs(segment.z2), Math.abs(segment.z2 + 3 * segment.z3)) + wrapMost) * reach2;
  // 2 % more, so that the search begins outside a straight thread too, whose bound is the thread itself.
  const a = 1.02 * tallO + awayO + Math.min(BEND_SHARE * tallO, bentO);
  const b = 1.02 * tallZ + awayZ + Math.min(BEND_SHARE * tallZ, bentZ);
  const x0 = (ray.sideO - segment.o0 - dO * uO) / a;
  const y0 = (ray.upO - segment.z0 - dZ * uO) / b;
  const x1 = (ray.sideD - dO * uD) / a;
  const y1 = (ray.upD - dZ * uD) / b;
  const ca = x1 * x1 + y1 * y1;
  const cb = x0 * x1 + y0 * y1;
  const cc = x0 * x0 + y0 * y0 - 1;
  const disc = cb * cb - ca * cc;
  if (disc < 0) return Number.POSITIVE_INFINITY;
  // A ray along the thread has ca near 0 and stays inside or outside.
  if (ca > 1e-10) {
    const root = Math.sqrt(disc);
    lo = Math.max(lo, (-cb - root) / ca);
    hi = Math.min(hi, (-cb + root) / ca);
    if (lo >= hi) return Number.POSITIVE_INFINITY;
  } else if (cc > 0) return Number.POSITIVE_INFINITY;

  const pieces = Math.min(TUBE_PIECES, Math.max(1, Math.ceil(Math.abs(uD) * (hi - lo) * TUBE_PIECES)));
  const step = (hi - lo) / pieces;
  evaluate(segment, ray, uO, uD, lo);
  let fa = value.f;
  // Inside already where the segment begins: the segment before ends a hair lower, its bend being another's.
  if (fa <= 0 && lo === plane) return lo;
  let ta = lo;
  let found = false;
  for (let piece = 0; piece < TUBE_PIECES; piece++) {
    if (piece >= pieces) break;
    const tb = piece === pieces - 1 ? hi : ta + step;
    let tc = 0.5 * (ta + tb);
    let fc = 1;
    for (let nearer = 0; nearer < 3; nearer++) {
      evaluate(segment, ray, uO, uD, tc);
      fc = value.f;
      if (fc <= 0 || nearer === 2) break;
      tc = Math.min(tb, Math.max(ta, tc - value.qb / Math.max(value.qa, 1e-20)));
    }
    if (fa > 0 && fc <= 0) {
      lo = ta;
      hi = tc;
      found = true;
      break;
    }
    evaluate(segment, ray, uO, uD, tb);
    if (fc > 0 && value.f <= 0) {
      lo = tc;
      hi = tb;
      found = true;
      break;
    }
    ta = tb;
    fa = value.f;
  }
  if (!found) return Number.POSITIVE_INFINITY;

  let t = hi;
  for (let k = 0; k <= NEWTON_STEPS; k++) {
    evaluate(segment, ray, uO, uD, t);
    // Met at the far end already: another cell has found this very place.
    if (Math.abs(value.f) < SURFACE_TOLERANCE || k === NEWTON_STEPS) break;
    if (value.f > 0) lo = t;
    else hi = t;
    const inside = value.qb * value.qb - value.qa * value.f;
    const root = Math.sqrt(Math.max(inside, 0));
    // Of the two ways to write the entry, the one that does not cancel.
    const entry = value.qb < 0 ? value.f / (root - value.qb) : (-value.qb - root) / Math.max(value.qa, 1e-20);
    const next = inside > 0 ? t + entry : 0.5 * (lo + hi);
    t = next > lo && next < hi ? next : 0.5 * (lo + hi);
  }
  return t;
}
