import { BEND_SHARE } from '#engine/cloth/bend.ts';
import { SEGMENT_OVERLAP } from '#engine/packing/clothBufferLayout.ts';
import { enterBody } from './enterBody.ts';
import { enterTight } from './enterTight.ts';
import { intersectMesh } from './intersectMesh.ts';
import type { LocalRay } from './tubeLook.ts';
import type { TubeSegment } from './tubeSegment.ts';

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
    const near = ca > 1e-10 ? Math.min(hi, Math.max(lo, -cb / ca)) : 0.5 * (lo + hi);
    entered = intersectMesh(meshes, segment, ray, uO, uD, lo, hi, near);
    core = meshes[segment.mesh + 4];
    if (core === 0) return entered;
    scaleSection(segment, core);
  }
  const found = segment.tight
    ? enterTight(segment, ray, uO, uD, tMin, plane, lo, hi, core * Math.max(aMost, bMost))
    : enterBody(segment, ray, uO, uD, lo, hi, plane, core * aMost, core * bMost, steepO + steepZ);
  if (core < 1) scaleSection(segment, 1 / core);
  return Math.min(entered, found);
}

function scaleSection(segment: TubeSegment, share: number): void {
  segment.a0 *= share;
  segment.aChange *= share;
  segment.b0 *= share;
  segment.bChange *= share;
}
