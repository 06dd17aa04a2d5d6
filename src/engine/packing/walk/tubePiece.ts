import { BEND_SHARE } from '#engine/cloth/bend.ts';
import type { LocalRay } from './tubeLook.ts';
import { createTubePoint, type TubeSegment, tubePointAt } from './tubeSegment.ts';

/** Where a piece of a segment begins or ends along a ray: how far the ray is off the centre line, mm, and that line's slopes and bends. */
export interface PieceEnd {
  awayO: number;
  awayZ: number;
  slopeO: number;
  slopeZ: number;
  /** Without their signs, per mm. */
  bendO: number;
  bendZ: number;
}

export function createPieceEnd(): PieceEnd {
  return { awayO: 0, awayZ: 0, slopeO: 0, slopeZ: 0, bendO: 0, bendZ: 0 };
}

/** Shares of a piece, 0..1, between which a ray may meet it, and a guess where it enters. */
export interface PieceSpan {
  from: number;
  to: number;
  guess: number;
}

const point = createTubePoint();

/** @param u at t, along the segment */
export function pieceEnd(out: PieceEnd, segment: TubeSegment, ray: LocalRay, u: number, t: number): void {
  tubePointAt(point, segment, u);
  out.awayO = ray.sideO + t * ray.sideD - point.o;
  out.awayZ = ray.upO + t * ray.upD - point.z;
  out.slopeO = point.oSlope;
  out.slopeZ = point.zSlope;
  out.bendO = Math.abs(point.oBend);
  out.bendZ = Math.abs(point.zBend);
}

/** Simpson's rule, from a mean and both ends: the slope half way. */
function half(centre: number, along: number, from: number, to: number): number {
  return Math.abs(along) > 1e-6 ? Math.abs((1.5 * centre) / along - 0.25 * (from + to)) : 0;
}

/**
 * Whether a ray may meet the piece between a and b, and where: a straight elliptical tube about the chord from the one to the
 * other, as much wider than the section as the curve strays from its chord (Hermite's h10 and h11 are at most 4/27), as
 * sections stand aslant on steep threads, and as the bend between a place and its foot moves the surface. Nothing that bends
 * less tightly than `TIGHT_BEND` stands out of it (tests/engine/packing/tubePiece.test.ts).
 * @param sizeA,sizeB the segment's greatest semi-axes, mm
 * @param step of t from a to b
 */
export function pieceSpan(
  out: PieceSpan,
  a: PieceEnd,
  b: PieceEnd,
  sizeA: number,
  sizeB: number,
  ray: LocalRay,
  step: number,
): boolean {
  const along = step * ray.alongD;
  const changeO = b.awayO - a.awayO;
  const changeZ = b.awayZ - a.awayZ;
  const centreO = step * ray.sideD - changeO;
  const centreZ = step * ray.upD - changeZ;
  const offO = (4 / 27) * (Math.abs(a.slopeO * along - centreO) + Math.abs(b.slopeO * along - centreO));
  const offZ = (4 / 27) * (Math.abs(a.slopeZ * along - centreZ) + Math.abs(b.slopeZ * along - centreZ));
  const halfO = half(centreO, along, a.slopeO, b.slopeO);
  const halfZ = half(centreZ, along, a.slopeZ, b.slopeZ);
  const steepO = Math.max(Math.abs(a.slopeO), Math.abs(b.slopeO), halfO) ** 2;
  const steepZ = Math.max(Math.abs(a.slopeZ), Math.abs(b.slopeZ), halfZ) ** 2;
  const grade = 1 + steepO + steepZ;
  const tallO = sizeA * Math.sqrt(1 + steepO);
  const tallZ = sizeB * Math.sqrt(grade);
  const foot2 = (steepO * sizeA * sizeA + steepZ * sizeB * sizeB) / grade;
  const bentO = Math.min(BEND_SHARE * sizeA, 0.5 * foot2 * Math.max(a.bendO, b.bendO));
  const bentZ = Math.min(BEND_SHARE * sizeB, 0.5 * foot2 * Math.max(a.bendZ, b.bendZ));
  const perO = 1 / (1.02 * tallO + offO + bentO);
  const perZ = 1 / (1.02 * tallZ + offZ + bentZ);
  const x0 = a.awayO * perO;
  const y0 = a.awayZ * perZ;
  const x1 = changeO * perO;
  const y1 = changeZ * perZ;
  const ca = x1 * x1 + y1 * y1;
  const cb = x0 * x1 + y0 * y1;
  const cc = x0 * x0 + y0 * y0 - 1;
  const disc = cb * cb - ca * cc;
  if (disc < 0 || (ca < 1e-12 && cc > 0)) return false;
  const per = 1 / Math.max(ca, 1e-12);
  const root = Math.sqrt(disc);
  out.from = Math.min(1, Math.max(0, (-cb - root) * per));
  out.to = Math.min(1, Math.max(0, (-cb + root) * per));
  // Without what the bound is wider than the section.
  const bare = Math.min(tallO * perO, tallZ * perZ);
  const near = (-cb - Math.sqrt(Math.max(0, disc - ca * (1 - bare * bare)))) * per;
  out.guess = Math.min(out.to, Math.max(out.from, near));
  return out.from < out.to;
}
