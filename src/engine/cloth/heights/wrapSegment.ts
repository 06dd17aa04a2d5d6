import { NO_EDGE, SAMPLES } from './sectionSum.ts';

/** Weight of the wrap itself against penetration left; small enough to leave under 1e-4 of the section's height. */
const SHYNESS = 1e-6;
/**
 * Most wrap over the pitch: it steepens the middle of a segment by 3. Near the jam of a straight stiff weft (d/p 0.5)
 * about 20 is needed; beyond it a height z(y) cannot clear and would only fold.
 */
export const MOST_WRAP = 24;
/** Newton steps; three or four do as a rule. */
const MOST_STEPS = 20;
/** Root of the sum of squares left over the section's height that needs no further step. */
const ENOUGH = 2e-3;
/** Share of improvement below which a step was the last. */
const SETTLED = 0.03;

/** Per sample: Hermite basis (height and slope at start, height and slope at end) and the two wrap shapes. */
const SHAPES = new Float64Array(6 * SAMPLES);
for (let k = 0; k < SAMPLES; k++) {
  const u = (k + 1) / (SAMPLES + 1);
  const v = 1 - u;
  SHAPES.set(
    [v * v * (1 + 2 * u), u * v * v, u * u * (1 + 2 * v), -u * u * v, u * u * v * v * v, u * u * u * v * v],
    6 * k,
  );
}
const short = new Float64Array(SAMPLES);
const sense = new Float64Array(SAMPLES);

/** One end of a segment: the thread's height and slope, and the section that it crosses there. */
export interface WrapNode {
  height: number;
  slope: number;
  /** +1 where the thread lies over the crossed one, −1 under, 0 where it crosses none. */
  side: number;
  /** Height of the crossed thread's centre. */
  centre: number;
  /** Height of the own centre over the crossed one's where they cross, on its own side. */
  clear: number;
  /** Semi-axis across the cloth of crossed section and own section together. */
  rise: number;
  /** Edge that the sum of both sections has at the samples away from the node, over the rise (see edgesAt). */
  edges: Float64Array;
}

/** Stands for "no bound"; finite, so that sums stay numbers. */
const FAR = 1e9;
const lower = new Float64Array(SAMPLES);
const upper = new Float64Array(SAMPLES);

/** Height of the crossed section that a node has to clear: where the node itself stands too close, no wrap can help. */
export function riseToClear(node: WrapNode): number {
  return Math.max(0, Math.min(node.rise, node.clear));
}

/** Whether the line without wrap clears both sections at all samples: the common case. */
function isClear(a: WrapNode, b: WrapNode, slopeA: number, slopeB: number, every: number): boolean {
  const riseA = riseToClear(a);
  const riseB = riseToClear(b);
  const edgesA = a.edges;
  const edgesB = b.edges;
  for (let k = every - 1, s = 6 * k; k < SAMPLES; k += every, s += 6 * every) {
    const z = SHAPES[s] * a.height + SHAPES[s + 1] * slopeA + SHAPES[s + 2] * b.height + SHAPES[s + 3] * slopeB;
    if (a.side * (z - a.centre) < riseA * edgesA[k] || b.side * (z - b.centre) < riseB * edgesB[SAMPLES - 1 - k])
      return false;
  }
  return true;
}

/** Bounds that the section at one end sets; samples count from that end where `step` is 1, from the other where −1. */
function boundBy(node: WrapNode, first: number, step: number, every: number): void {
  if (node.side === 0) return;
  const rise = riseToClear(node);
  for (let n = every - 1, k = first; n < SAMPLES; n += every, k += step) {
    // A section that has moved into the segment begins beyond its first samples.
    if (node.edges[n] === NO_EDGE) continue;
    const edge = rise * node.edges[n];
    if (node.side > 0) {
      if (node.centre + edge > lower[k]) lower[k] = node.centre + edge;
    } else if (node.centre - edge < upper[k]) upper[k] = node.centre - edge;
  }
}

/**
 * Wrap of one segment: the least (start, end) with which the centre line clears the crossed sections grown by the
 * thread's own half height, at 15 points. Where the two sections leave no way between them for a
 * height z(y), the line halves what is missing.
 * @param every 1 for all samples, 2 for every other one
 * @param out [start, end] in mm
 */
export function wrapSegment(a: WrapNode, b: WrapNode, pitchMm: number, every: number, out: Float64Array): void {
  out[0] = 0;
  out[1] = 0;
  const slopeA = pitchMm * a.slope;
  const slopeB = pitchMm * b.slope;
  if (isClear(a, b, slopeA, slopeB, every)) return;
  lower.fill(-FAR);
  upper.fill(FAR);
  boundBy(a, every - 1, every, every);
  boundBy(b, SAMPLES - every, -every, every);
  let clear = true;
  for (let k = every - 1; k < SAMPLES; k += every) {
    const s = 6 * k;
    const z = SHAPES[s] * a.height + SHAPES[s + 1] * slopeA + SHAPES[s + 2] * b.height + SHAPES[s + 3] * slopeB;
    let toLower = lower[k] - z;
    let toUpper = upper[k] - z;
    if (toLower > toUpper) {
      toLower = 0.5 * (toLower + toUpper);
      toUpper = toLower;
    }
    if (toLower > 0 || toUpper < 0) {
      short[k] = toLower > 0 ? toLower : toUpper;
      sense[k] = toLower === toUpper ? 0 : toLower > 0 ? 1 : -1;
      clear = false;
    } else {
      // Its nearer bound is kept in mind, for the wrap may push the line past it.
      const below = -toLower < toUpper;
      sense[k] = below ? 1 : -1;
      short[k] = below ? toLower : toUpper;
    }
  }
  if (clear) return;
  const rise = Math.max(a.side === 0 ? 0 : a.rise, b.side === 0 ? 0 : b.rise);
  settle((ENOUGH * rise) ** 2, every, out);
  const most = MOST_WRAP * pitchMm;
  out[0] = Math.max(-most, Math.min(most, out[0]));
  out[1] = Math.max(-most, Math.min(most, out[1]));
}

/**
 * Least squares of what is short, with the wrap itself as a faint second aim: Newton on the piecewise quadratic, halving
 * steps that do not improve (it is convex, so that this ends).
 */
function settle(enough: number, every: number, out: Float64Array): void {
  let x0 = 0;
  let x1 = 0;
  let least = Infinity;
  let n0 = 0;
  let n1 = 0;
  for (let step = 0; step < MOST_STEPS; step++) {
    let m00 = SHYNESS;
    let m01 = 0;
    let m11 = SHYNESS;
    let r0 = 0;
    let r1 = 0;
    let value = SHYNESS * (n0 * n0 + n1 * n1);
    for (let k = every - 1; k < SAMPLES; k += every) {
      const g0 = SHAPES[6 * k + 4];
      const g1 = SHAPES[6 * k + 5];
      const left = short[k] - g0 * n0 - g1 * n1;
      if (left * sense[k] < 0) continue;
      value += left * left;
      m00 += g0 * g0;
      m01 += g0 * g1;
      m11 += g1 * g1;
      r0 += g0 * short[k];
      r1 += g1 * short[k];
    }
    if (value > least) {
      n0 = 0.5 * (n0 + x0);
      n1 = 0.5 * (n1 + x1);
      continue;
    }
    const settled = value < enough || value > (1 - SETTLED) * least;
    least = value;
    x0 = n0;
    x1 = n1;
    if (settled) break;
    const det = m00 * m11 - m01 * m01;
    n0 = (m11 * r0 - m01 * r1) / det;
    n1 = (m00 * r1 - m01 * r0) / det;
  }
  out[0] = x0;
  out[1] = x1;
}
