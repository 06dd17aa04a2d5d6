/** Samples of a segment at which the drawn thread must clear the sections that it crosses. */
const SAMPLES = 15;
/** Weight of the wrap itself against penetration left; small enough to leave under 1e-4 of the section's height. */
const SHYNESS = 1e-6;
/** Newton steps on the piecewise quadratic; it settles in three or four. */
const MOST_STEPS = 8;

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
  /** Semi-axes of crossed section and own section together, along the thread and across the cloth. */
  reach: number;
  rise: number;
}

/** Height that the thread's centre line must keep to `side` of, at distance y from the crossing; ±∞ where free. */
function bound(node: WrapNode, y: number): number {
  const share = y / node.reach;
  if (node.side === 0 || share >= 1) return node.side < 0 ? Infinity : -Infinity;
  // Where the node itself stands too close, the section is lowered to it: no wrap can help there.
  const rise = Math.min(node.rise, node.side * (node.height - node.centre));
  return node.centre + node.side * Math.max(0, rise) * Math.sqrt(1 - share * share);
}

/**
 * Wrap of one segment: the least (start, end) with which the centre line clears the ellipses that section and thread
 * sum to (Minkowski sum, taken as an ellipse), at 15 points. Where the two sections leave no way between them for a
 * height z(y), the line halves what is missing.
 * @param out [start, end] in mm
 */
export function wrapSegment(a: WrapNode, b: WrapNode, pitchMm: number, out: Float64Array): void {
  out[0] = 0;
  out[1] = 0;
  if (a.side === 0 && b.side === 0) return;
  let clear = true;
  for (let k = 0; k < SAMPLES; k++) {
    const s = 6 * k;
    const y = (pitchMm * (k + 1)) / (SAMPLES + 1);
    const z =
      SHAPES[s] * a.height + SHAPES[s + 2] * b.height + pitchMm * (SHAPES[s + 1] * a.slope + SHAPES[s + 3] * b.slope);
    const ea = bound(a, y);
    const eb = bound(b, pitchMm - y);
    let lower = Math.max(a.side > 0 ? ea : -Infinity, b.side > 0 ? eb : -Infinity);
    let upper = Math.min(a.side < 0 ? ea : Infinity, b.side < 0 ? eb : Infinity);
    if (lower > upper) lower = upper = 0.5 * (lower + upper);
    if (z < lower) {
      short[k] = lower - z;
      sense[k] = lower === upper ? 0 : 1;
      clear = false;
    } else if (z > upper) {
      short[k] = upper - z;
      sense[k] = lower === upper ? 0 : -1;
      clear = false;
    } else {
      // Keeps its nearer bound in mind, for the wrap may push the line past it.
      const toLower = z - lower;
      const toUpper = upper - z;
      sense[k] = toLower < toUpper ? 1 : -1;
      short[k] = toLower < toUpper ? -toLower : toUpper;
    }
  }
  if (clear) return;
  settle(out);
}

/** Least squares of what is short, with the wrap itself as a faint second aim. */
function settle(out: Float64Array): void {
  let x0 = 0;
  let x1 = 0;
  for (let step = 0; step < MOST_STEPS; step++) {
    let m00 = SHYNESS;
    let m01 = 0;
    let m11 = SHYNESS;
    let r0 = 0;
    let r1 = 0;
    for (let k = 0; k < SAMPLES; k++) {
      const g0 = SHAPES[6 * k + 4];
      const g1 = SHAPES[6 * k + 5];
      const left = short[k] - g0 * x0 - g1 * x1;
      if (left * sense[k] < 0 || !(Math.abs(short[k]) < Infinity)) continue;
      m00 += g0 * g0;
      m01 += g0 * g1;
      m11 += g1 * g1;
      r0 += g0 * short[k];
      r1 += g1 * short[k];
    }
    const det = m00 * m11 - m01 * m01;
    const n0 = (m11 * r0 - m01 * r1) / det;
    const n1 = (m00 * r1 - m01 * r0) / det;
    const moved = Math.abs(n0 - x0) + Math.abs(n1 - x1);
    x0 = n0;
    x1 = n1;
    if (moved < 1e-9 * (Math.abs(n0) + Math.abs(n1))) break;
  }
  out[0] = x0;
  out[1] = x1;
}
