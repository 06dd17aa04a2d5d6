import { BEND_SHARE } from '#engine/cloth/bend.ts';
import {
  FAR_OFF,
  NEAR_ENOUGH,
  NEWTON_STEPS,
  RUNS_ALONG,
  SCAN_STEPS,
  SEGMENT_OVERLAP,
  STEEP_THREAD,
  SURFACE_TOLERANCE,
  TIGHT_LEAST,
  TIGHT_LEAVING,
  TIGHT_NEAR,
  TIGHT_STEPS,
  TIGHT_WIDER,
  TUBE_PIECES,
} from '#engine/packing/clothBufferLayout.ts';
import { intersectMesh } from './intersectMesh.ts';
import { createPieceEnd, pieceEnd, pieceSpan } from './tubePiece.ts';
import { createSectionValue, createTubePoint, footPoint, sectionAt, type TubeSegment } from './tubeSegment.ts';

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
/** From the place looked at last to the centre line, as near as that comes. */
let awayMm = 0;
const value = createSectionValue();
let begin = createPieceEnd();
let end = createPieceEnd();
const span = { from: 0, to: 1, guess: 0.5 };

function evaluate(segment: TubeSegment, ray: LocalRay, uO: number, uD: number, t: number): void {
  const side = ray.sideO + t * ray.sideD;
  const up = ray.upO + t * ray.upD;
  const ahead = footPoint(point, segment, uO + t * uD, side, up);
  awayMm = Math.hypot(ahead, side - point.o, up - point.z);
  sectionAt(value, point, ahead, side, up, ray.alongD, ray.sideD, ray.upD);
}

/**
 * First t in (tMin, tMax) at which the ray enters the tube from outside, within the segment's own range; else Infinity.
 * A ray that comes through the segment's end plane within the section meets it there; where the thread goes on, its
 * neighbour was met before. An inflated straight tube bounds the search, cut into pieces where the ray runs along the
 * thread. A closer bound of each piece tells which of them the ray may meet, and where; there the section linearised at the
 * last guess is solved for the next, until the point lies on the surface.
 * Error at most SURFACE_TOLERANCE / 2 of the half width at normal incidence.
 * @param meshes the material table, where some threads are open strips
 */
export function intersectTube(
  segment: TubeSegment,
  ray: LocalRay,
  tMin: number,
  tMax: number,
  meshes?: Float32Array,
): number {
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
  let entered = Number.POSITIVE_INFINITY;
  let core = 1;
  if (meshes && meshes[segment.mesh] > 0) {
    // Layers first; then what they are wound about, a body within the section that is met as any other.
    entered = intersectMesh(meshes, segment, ray, uO, uD, lo, hi);
    core = meshes[segment.mesh + 4];
    if (core === 0) return entered;
    scaleSection(segment, core);
  }
  const found = segment.tight
    ? intersectTight(segment, ray, uO, uD, tMin, plane, lo, hi, core * Math.max(aMost, bMost))
    : intersectBody(segment, ray, uO, uD, lo, hi, plane, core * aMost, core * bMost, steepO + steepZ);
  if (core < 1) scaleSection(segment, 1 / core);
  return Math.min(entered, found);
}

function scaleSection(segment: TubeSegment, share: number): void {
  segment.a0 *= share;
  segment.aChange *= share;
  segment.b0 *= share;
  segment.bChange *= share;
}

/** First t in (lo, hi), where the ray is within the tube's bound, at which it enters the tube. */
function intersectBody(
  segment: TubeSegment,
  ray: LocalRay,
  uO: number,
  uD: number,
  lo: number,
  hi: number,
  plane: number,
  aMost: number,
  bMost: number,
  steep: number,
): number {
  const pieces = Math.min(TUBE_PIECES, Math.max(1, Math.ceil(Math.abs(uD) * (hi - lo) * TUBE_PIECES)));
  const step = (hi - lo) / pieces;
  const gentle = steep <= STEEP_THREAD;
  let entered = Number.POSITIVE_INFINITY;
  pieceEnd(end, segment, ray, uO + lo * uD, lo);
  for (let piece = 0; piece < pieces; piece++) {
    const ta = lo + piece * step;
    const tb = ta + step;
    const swap = begin;
    begin = end;
    end = swap;
    pieceEnd(end, segment, ray, uO + tb * uD, tb);
    if (!pieceSpan(span, begin, end, aMost, bMost, ray, step)) continue;
    const from = ta + span.from * step;
    const reach = (span.to - span.from) * step;
    let t = ta + span.guess * step;
    let missed = 0;
    let met = false;
    let lastT = 0;
    let lastF = 0;
    let leastQa = Number.POSITIVE_INFINITY;
    let leaves = false;
    for (let k = 0; k < NEWTON_STEPS; k++) {
      evaluate(segment, ray, uO, uD, t);
      leastQa = Math.min(leastQa, value.qa);
      met = Math.abs(value.f) < SURFACE_TOLERANCE && value.qb < 0;
      if (met) break;
      const inside = value.qb * value.qb - value.qa * value.f;
      const root = Math.sqrt(Math.max(inside, 0));
      // Where the linearised section is missed, its nearest approach is looked at instead, three times at most, and once
      // where that is far off.
      if (inside < 0 && ++missed > (value.f > FAR_OFF ? 1 : 3)) {
        leaves = false;
        break;
      }
      // Of the two ways to write the entry, the one that does not cancel.
      let entry =
        value.qb < 0 && inside >= 0 ? value.f / (root - value.qb) : (-value.qb - root) / Math.max(value.qa, 1e-20);
      // Near the surface the last two values know the slope better: the linearised section leaves out how it turns.
      const fall = (value.f - lastF) / (t - lastT);
      if (k > 0 && Math.abs(value.f) < 0.1 && value.qb < 0 && fall < value.qb) entry = -value.f / fall;
      lastT = t;
      lastF = value.f;
      t = Math.min(from + 2 * reach, Math.max(from - reach, t + entry));
      // So near, the step just taken is exact enough not to be looked at again.
      met = inside >= 0 && value.qb < 0 && Math.abs(value.f) < NEAR_ENOUGH;
      if (met) break;
      // Held at the bounds of where it may look, or moving away at the last look: in a thread that is not steep, a miss.
      leaves = gentle && (t === lastT ? value.f > 0 : value.f > FAR_OFF && value.qb > 0);
      if (t === lastT) break;
    }
    if (!met && !leaves && (!gentle || leastQa * segment.a0 * segment.b0 < RUNS_ALONG)) {
      let outside = from;
      let inside = Number.POSITIVE_INFINITY;
      for (let k = 0; k < SCAN_STEPS; k++) {
        const scans = inside === Number.POSITIVE_INFINITY;
        if (scans && k >= SCAN_STEPS / 2) break;
        const at = scans ? from + ((k + 0.5) * reach) / (SCAN_STEPS / 2) : 0.5 * (outside + inside);
        evaluate(segment, ray, uO, uD, at);
        if (value.f <= 0) inside = at;
        else outside = at;
      }
      met = inside < Number.POSITIVE_INFINITY;
      t = inside;
    }
    if (!met) continue;
    if (piece === 0 && t < lo && lo === plane) {
      // Entered before the segment begins: the segment before ends a hair lower, its bend being another's.
      evaluate(segment, ray, uO, uD, lo);
      if (value.f <= 0) return lo;
    }
    // An entry in a later piece waits for that piece, which may hold an earlier one.
    if (t >= lo && t <= hi) entered = Math.min(entered, t);
    if (entered <= tb) break;
  }
  return entered;
}

/**
 * The same where the thread bends tightly. No surface is nearer than the centre line is, less the section's greatest semi-axis
 * `mostMm`: so far a ray goes on at once (sphere tracing: J. C. Hart 1996, The Visual Computer 12), further where the section
 * linearised there is entered later or missed. The first entry is the one found, whichever way the thread bends.
 */
function intersectTight(
  segment: TubeSegment,
  ray: LocalRay,
  uO: number,
  uD: number,
  tMin: number,
  plane: number,
  lo: number,
  hi: number,
  mostMm: number,
): number {
  const begins = Math.max(tMin, plane);
  const perMm = 1 / Math.hypot(ray.alongD, ray.sideD, ray.upD);
  let t = lo;
  // Such a thread may stand out of its bound.
  let outside = begins;
  let lastT = 0;
  let lastF = 0;
  for (let k = 0; k < TIGHT_STEPS; k++) {
    evaluate(segment, ray, uO, uD, t);
    const { f, qa, qb } = value;
    // Within it from the beginning: through the segment's end plane, or where the ray itself begins.
    if (k === 0 && f <= 0 && lo === begins) return lo > tMin ? lo : Number.POSITIVE_INFINITY;
    const inside = qb * qb - qa * f;
    const root = Math.sqrt(Math.max(inside, 0));
    const near = Math.abs(f) < TIGHT_NEAR && qb < 0 && inside >= 0;
    let step = f <= 0 || (qb < 0 && inside < 0) ? -qb / Math.max(qa, 1e-20) : 0;
    if (f <= 0) step -= root / Math.max(qa, 1e-20);
    else if (qb < 0 && inside >= 0) step = f / (root - qb);
    // As above: near by, the last two values know the slope better.
    const fall = (f - lastF) / (t - lastT);
    if (k > 0 && Math.max(Math.abs(f), Math.abs(lastF)) < 0.1 && qb < 0 && fall < qb) step = -f / fall;
    lastT = t;
    lastF = f;
    if (f > 0) {
      outside = t;
      const least = (qb < 0 ? TIGHT_LEAST : TIGHT_LEAVING) * mostMm;
      if (!near) step = Math.max(step, perMm * Math.max(least, awayMm - TIGHT_WIDER * mostMm));
    }
    const back = f <= 0 && !near && !(t + step > outside && step < 0);
    t = back ? 0.5 * (outside + t) : t + step;
    if (t > hi) return Number.POSITIVE_INFINITY;
    if (near) return t;
  }
  return Number.POSITIVE_INFINITY;
}
