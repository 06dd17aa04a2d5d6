import { BEND_SHARE } from '#engine/cloth/bend.ts';

/** Range of a thread's surface along one axis over a segment: [lo, hi], written by `segmentRange`. */
export const range = { lo: 0, hi: 0 };

/**
 * A segment along one axis: heights (or places sideways), slopes, wraps and half axes at its nodes. Numbers handed over one by
 * one to a function of this size would be boxed, some 100 bytes a segment.
 */
export interface SegmentNodes {
  v0: number;
  s0: number;
  v1: number;
  s1: number;
  pitchMm: number;
  wrapStart: number;
  wrapEnd: number;
  half0: number;
  half1: number;
}

export function createSegmentNodes(): SegmentNodes {
  return { v0: 0, s0: 0, v1: 0, s1: 0, pitchMm: 0, wrapStart: 0, wrapEnd: 0, half0: 0, half1: 0 };
}

/**
 * Bounds of centre(u) ± half(u) over u in 0..1, where centre is the cubic Hermite curve plus wrap of `CurveField` and half
 * is the section's half axis, a step u²(3 − 2u) along the segment, standing square to the curve. Lengths mm; slopes dimensionless.
 * Looks at both nodes and the middle; between them the centre rises at most a quarter of the half pitch times the slope
 * at the turning side, and only where the slope turns.
 */
export function segmentRange(segment: SegmentNodes): void {
  const { v0, s0, v1, s1, pitchMm, wrapStart, wrapEnd, half0, half1 } = segment;
  if (s0 === 0 && s1 === 0 && v0 === v1 && wrapStart === 0 && wrapEnd === 0) {
    const half = Math.max(half0, half1);
    range.lo = v0 - half;
    range.hi = v0 + half;
    return;
  }
  const perMm = pitchMm > 1e-6 ? 1 / pitchMm : 0;
  const wrap = (wrapStart + wrapEnd) / 2;
  const middle = (v0 + v1) / 2 + ((s0 - s1) * pitchMm) / 8 + wrap / 16;
  const steep = 1.5 * (v1 - v0) * perMm - (s0 + s1) / 4 + ((wrapEnd - wrapStart) / 16) * perMm;
  // Bends per mm: of the Hermite curve and of the wrap, at the nodes and in the middle.
  const bend0 = (6 * (v1 - v0) * perMm - 4 * s0 - 2 * s1) * perMm + 2 * wrapStart * perMm * perMm;
  const bend1 = (-6 * (v1 - v0) * perMm + 2 * s0 + 4 * s1) * perMm + 2 * wrapEnd * perMm * perMm;
  const bendMiddle = (s1 - s0) * perMm - wrap * perMm * perMm;
  const reach0 = uprightHalf(half0, s0, bend0);
  const reachMiddle = uprightHalf((half0 + half1) / 2, steep, bendMiddle);
  const reach1 = uprightHalf(half1, s1, bend1);
  const turn0 = s0 * steep < 0 ? (Math.abs(s0) * pitchMm) / 8 : 0;
  const turn1 = s1 * steep < 0 ? (Math.abs(s1) * pitchMm) / 8 : 0;
  // A wrap pushes a quarter point by at most its own 9/256, partly counted in the middle already.
  const push = Math.max(Math.abs(wrapStart), Math.abs(wrapEnd)) * (9 / 256);
  // On a flank steeper than about 31°, the widest upright extent lies between the places looked at.
  const flank = 0.2 * Math.max(half0, half1) * Math.max(0, Math.abs(steep) - 0.6);
  // A section that changes: the step's rise over a line, and up to twice that where the foot lies along a flank.
  const change = Math.abs(half1 - half0);
  const leaning = Math.min(1, 2 * Math.abs(steep)) * Math.max(half0, half1) * perMm;
  const step = change * (0.08 + 0.75 * leaning);
  const more = Math.max(turn0, turn1) + push + flank + step;
  range.lo = Math.min(v0 - reach0, middle - reachMiddle, v1 - reach1) - more;
  range.hi = Math.max(v0 + reach0, middle + reachMiddle, v1 + reach1) + more;
}

/**
 * Extent of a section square to a curve of this slope and bend, measured along the axis (see sectionAt), or a little
 * more: up to slope 1 the root √(1+x) and the share x/(1+x) stand as series cut after a term above the sum.
 */
function uprightHalf(half: number, slope: number, bend: number): number {
  const x = slope * slope;
  const upright = half * (x < 1 ? 1 + x * (0.5 - x * (0.125 - x * 0.0625)) : Math.sqrt(1 + x));
  const foot = half * half * (x < 0.5 ? x * (1 - x * (1 - x)) : x / (1 + x));
  return upright + Math.min(BEND_SHARE * upright, 0.8 * Math.abs(bend) * foot);
}
