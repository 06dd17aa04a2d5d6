import { type BeamClass, type BeamFactor, FACTOR_STRIDE } from './beamClass.ts';

/** Forward results of up to four beams; grown as needed. */
let scratch = new Float64Array(8 * 512);

/** Beams solved together: the sweeps are chains of dependent steps, and four at a time keep the processor busy. */
export const BEAMS_TOGETHER = 4;

function ensureScratch(nodes: number): void {
  if (scratch.length < 8 * nodes) scratch = new Float64Array(8 * nodes);
}

/**
 * Heights, and slopes where asked for, of four beams of one class for the pulls `target` (the height towards which the
 * penalty draws each node).
 * Offsets are those of the beams' first nodes, `step` the distance from node to node, in `target` and `height`; the last beam may be named again to
 * fill up.
 */
export function sweepFourBeams(
  beam: BeamClass,
  factor: BeamFactor,
  target: Float64Array,
  height: Float64Array,
  slope: Float64Array | null,
  step: number,
  o0: number,
  o1: number,
  o2: number,
  o3: number,
): void {
  const n = beam.ends.repeats ? beam.nodes - 1 : beam.nodes;
  ensureScratch(beam.nodes);
  const c = factor.steps;
  const y = scratch;
  let a0 = 0;
  let b0 = 0;
  let a1 = 0;
  let b1 = 0;
  let a2 = 0;
  let b2 = 0;
  let a3 = 0;
  let b3 = 0;
  for (let k = 0, w = 0, s = 0, at = 0; k < n; k++, w += FACTOR_STRIDE, s += 8, at += step) {
    const l11 = c[w];
    const l12 = c[w + 1];
    const l21 = c[w + 2];
    const l22 = c[w + 3];
    const weight = c[w + 7];
    const n0 = weight * target[o0 + at] - l11 * a0 - l12 * b0;
    const n1 = weight * target[o1 + at] - l11 * a1 - l12 * b1;
    const n2 = weight * target[o2 + at] - l11 * a2 - l12 * b2;
    const n3 = weight * target[o3 + at] - l11 * a3 - l12 * b3;
    b0 = -l21 * a0 - l22 * b0;
    b1 = -l21 * a1 - l22 * b1;
    b2 = -l21 * a2 - l22 * b2;
    b3 = -l21 * a3 - l22 * b3;
    a0 = n0;
    a1 = n1;
    a2 = n2;
    a3 = n3;
    y[s] = a0;
    y[s + 1] = b0;
    y[s + 2] = a1;
    y[s + 3] = b1;
    y[s + 4] = a2;
    y[s + 5] = b2;
    y[s + 6] = a3;
    y[s + 7] = b3;
  }
  let l11 = 0;
  let l12 = 0;
  let l21 = 0;
  let l22 = 0;
  a0 = b0 = a1 = b1 = a2 = b2 = a3 = b3 = 0;
  // Slopes at the last interior nodes, for closing a repeat.
  let e0 = 0;
  let e1 = 0;
  let e2 = 0;
  let e3 = 0;
  for (let k = n - 1, at = (n - 1) * step; k >= 0; k--, at -= step) {
    const w = FACTOR_STRIDE * k;
    const s = 8 * k;
    const d11 = c[w + 4];
    const d12 = c[w + 5];
    const d22 = c[w + 6];
    const n0 = d11 * y[s] + d12 * y[s + 1] - l11 * a0 - l21 * b0;
    const n1 = d11 * y[s + 2] + d12 * y[s + 3] - l11 * a1 - l21 * b1;
    const n2 = d11 * y[s + 4] + d12 * y[s + 5] - l11 * a2 - l21 * b2;
    const n3 = d11 * y[s + 6] + d12 * y[s + 7] - l11 * a3 - l21 * b3;
    b0 = d12 * y[s] + d22 * y[s + 1] - l12 * a0 - l22 * b0;
    b1 = d12 * y[s + 2] + d22 * y[s + 3] - l12 * a1 - l22 * b1;
    b2 = d12 * y[s + 4] + d22 * y[s + 5] - l12 * a2 - l22 * b2;
    b3 = d12 * y[s + 6] + d22 * y[s + 7] - l12 * a3 - l22 * b3;
    a0 = n0;
    a1 = n1;
    a2 = n2;
    a3 = n3;
    height[o0 + at] = a0;
    height[o1 + at] = a1;
    height[o2 + at] = a2;
    height[o3 + at] = a3;
    if (slope !== null) {
      slope[o0 + at] = b0;
      slope[o1 + at] = b1;
      slope[o2 + at] = b2;
      slope[o3 + at] = b3;
    }
    if (k === n - 1) {
      e0 = b0;
      e1 = b1;
      e2 = b2;
      e3 = b3;
    }
    l11 = c[w];
    l12 = c[w + 1];
    l21 = c[w + 2];
    l22 = c[w + 3];
  }
  if (!beam.ends.repeats) return;
  // A beam named twice has been swept twice to the same result, but may be closed only once.
  const more1 = o1 !== o0;
  const more2 = o2 !== o1;
  const more3 = o3 !== o2;
  closeNode(n, factor, target, height, slope, step, o0, b0, e0, true, 0);
  closeNode(n, factor, target, height, slope, step, o1, b1, e1, more1, 2);
  closeNode(n, factor, target, height, slope, step, o2, b2, e2, more2, 4);
  closeNode(n, factor, target, height, slope, step, o3, b3, e3, more3, 6);
  const border = factor.border;
  if (!border) return;
  const [h0, s0, h1, s1, h2, s2, h3, s3] = closed;
  for (let k = 0, at = 0; k < n; k++, at += step) {
    const toH = border[4 * k];
    const toS = border[4 * k + 1];
    height[o0 + at] -= toH * h0 + toS * s0;
    height[o1 + at] -= toH * h1 + toS * s1;
    height[o2 + at] -= toH * h2 + toS * s2;
    height[o3 + at] -= toH * h3 + toS * s3;
    if (slope === null) continue;
    const ofH = border[4 * k + 2];
    const ofS = border[4 * k + 3];
    slope[o0 + at] -= ofH * h0 + ofS * s0;
    slope[o1 + at] -= ofH * h1 + ofS * s1;
    slope[o2 + at] -= ofH * h2 + ofS * s2;
    slope[o3 + at] -= ofH * h3 + ofS * s3;
  }
}

/** Height and slope of four beams' closing nodes. */
const closed = new Float64Array(8);

/**
 * Solves the node that closes a repeat, given the slopes of the first and last interior nodes as they are without it, into
 * `closed` at `to`; nought there where the beam is not `meant`.
 */
function closeNode(
  m: number,
  factor: BeamFactor,
  target: Float64Array,
  height: Float64Array,
  slope: Float64Array | null,
  step: number,
  offset: number,
  firstSlope: number,
  lastSlope: number,
  meant: boolean,
  to: number,
): void {
  closed[to] = closed[to + 1] = 0;
  if (!meant) return;
  const q = factor.closing;
  let r1 = factor.steps[FACTOR_STRIDE * m + 7] * target[offset + m * step];
  let r2 = 0;
  if (m > 0) {
    const first = height[offset];
    const last = height[offset + (m - 1) * step];
    r1 -= q[0] * first + q[1] * firstSlope + q[4] * last + q[5] * lastSlope;
    r2 -= q[2] * first + q[3] * firstSlope + q[6] * last + q[7] * lastSlope;
  }
  const h = q[8] * r1 + q[9] * r2;
  const s = q[9] * r1 + q[10] * r2;
  height[offset + m * step] = h;
  if (slope !== null) slope[offset + m * step] = s;
  closed[to] = h;
  closed[to + 1] = s;
}
