import { BEND_SHARE } from './clothBufferLayout.ts';

/** Range of a thread's surface along one axis over a segment: [lo, hi], written by `segmentRange`. */
export const range = { lo: 0, hi: 0 };

const SAMPLES = 4;

/**
 * Bounds of centre(u) ± half(u) over u in 0..1, where centre is the cubic Hermite curve plus wrap of `CurveField` and half
 * is the section's half axis, linear along the segment and tilted with the curve. Lengths mm; slopes dimensionless.
 * Conservative: between samples an extremum rises at most |slope| step / 4 above the higher of its two neighbours.
 */
export function segmentRange(
  v0: number,
  s0: number,
  v1: number,
  s1: number,
  pitchMm: number,
  wrapStart: number,
  wrapEnd: number,
  half0: number,
  half1: number,
): void {
  const m0 = s0 * pitchMm;
  const m1 = s1 * pitchMm;
  const delta = v1 - v0;
  if (m0 === 0 && m1 === 0 && delta === 0 && wrapStart === 0 && wrapEnd === 0) {
    const half = Math.max(half0, half1);
    range.lo = v0 - half;
    range.hi = v0 + half;
    return;
  }
  const c2 = 3 * delta - 2 * m0 - m1;
  const c3 = m0 + m1 - 2 * delta;
  let lo = Number.POSITIVE_INFINITY;
  let hi = Number.NEGATIVE_INFINITY;
  let steepest = 0;
  for (let k = 0; k <= SAMPLES; k++) {
    const u = k / SAMPLES;
    const q = u * (1 - u);
    const wrap = wrapStart + u * (wrapEnd - wrapStart);
    const centre = v0 + u * (m0 + u * (c2 + u * c3)) + q * q * wrap;
    const rise = m0 + u * (2 * c2 + 3 * c3 * u) + 2 * q * (1 - 2 * u) * wrap + q * q * (wrapEnd - wrapStart);
    const slope = pitchMm > 0 ? rise / pitchMm : 0;
    const upright = (half0 + u * (half1 - half0)) * Math.sqrt(1 + slope * slope);
    // What a bend adds to a section square to the thread (tubeSegment.ts), the foot lying within half of `reach`.
    const bend = 2 * c2 + 6 * c3 * u + 2 * Math.max(Math.abs(wrapStart), Math.abs(wrapEnd));
    const foot = (upright * slope) / (1 + slope * slope) / Math.max(pitchMm, 1e-6);
    const half = upright + Math.min(BEND_SHARE * upright, 0.8 * Math.abs(bend) * foot * foot);
    if (centre - half < lo) lo = centre - half;
    if (centre + half > hi) hi = centre + half;
    // Rises that cancel over the segment's middle (|rise| largest there) are monotone; only turning points overshoot.
    if (Math.abs(rise) > steepest) steepest = Math.abs(rise);
  }
  const overshoot = steepest / (4 * SAMPLES);
  range.lo = lo - overshoot;
  range.hi = hi + overshoot;
}
