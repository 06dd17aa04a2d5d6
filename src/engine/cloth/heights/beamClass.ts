import { type SpanStiffness, spanStiffness } from './tieBeam.ts';

/** How a beam ends: it repeats, or is reflected at its start, its end or both (and level there), or hangs free. */
export interface BeamEnds {
  readonly repeats: boolean;
  readonly levelStart: boolean;
  readonly levelEnd: boolean;
}

/** Beams alike in stiffness, tension and nodes: they share one factorisation for each penalty. */
export interface BeamClass {
  readonly nodes: number;
  readonly ends: BeamEnds;
  /** Share of a whole crossing that each node stands for: 1, and ½ where the beam is reflected. */
  readonly nodeWeight: Float64Array;
  /** Stiffness over scale: per node [height·height, height·slope, slope·slope], confinement included. */
  readonly diagonal: Float64Array;
  /** Coupling of each node to the next over scale: [−shear, cross, far]; the last closes the repeat. */
  readonly coupling: Float64Array;
  /** Natural force per height of this beam, N/mm: B/p³ + T/12p with the mean pitch p. Penalties are multiples of it. */
  readonly scale: number;
}

/** Doubles per node of a factorisation: L (4), inverse pivot (3), weight (1). */
export const FACTOR_STRIDE = 8;

export interface BeamFactor {
  /** Per node: l11 l12 l21 l22 of the step from the node before, pivot inverse d11 d12 d22, node weight. */
  readonly steps: Float64Array;
  /** Periodic only. Interior response to the closing node: two doubles (height to its height, to its slope) a node. */
  readonly border: Float64Array | null;
  /** Periodic only: coupling of the closing node to interior nodes first and last (4 + 4), its pivot inverse (3). */
  readonly closing: Float64Array;
}

const span: SpanStiffness = { shear: 0, cross: 0, near: 0, far: 0 };

/**
 * @param positions node positions along the beam, mm, strictly ascending
 * @param closingSpanMm span from the last node back to the first (periodic only)
 * @param fallbackPitchMm pitch to reckon with where the beam has a single node
 */
export function buildBeamClass(
  positions: ArrayLike<number>,
  ends: BeamEnds,
  closingSpanMm: number,
  fallbackPitchMm: number,
  B: number,
  T: number,
  confinementShare: number,
): BeamClass {
  const n = positions.length;
  const spans = ends.repeats ? n : n - 1;
  const length = positions[n - 1] - positions[0] + (ends.repeats ? closingSpanMm : 0);
  const p = spans > 0 ? length / spans : fallbackPitchMm;
  const scale = B / p ** 3 + T / (12 * p);
  const nodeWeight = new Float64Array(n).fill(1);
  const diagonal = new Float64Array(3 * n);
  const coupling = new Float64Array(3 * n);
  if (ends.levelStart && n > 1) nodeWeight[0] = 0.5;
  if (ends.levelEnd && n > 1) nodeWeight[n - 1] = 0.5;
  for (let k = 0; k < spans; k++) {
    const next = k + 1 < n ? k + 1 : 0;
    const reach = k + 1 < n ? positions[k + 1] - positions[k] : closingSpanMm;
    spanStiffness(reach, B, T, span);
    const half = (0.5 * confinementShare * reach) / p;
    diagonal[3 * k] += span.shear / scale + half;
    diagonal[3 * k + 1] += span.cross / scale;
    diagonal[3 * k + 2] += span.near / scale;
    diagonal[3 * next] += span.shear / scale + half;
    diagonal[3 * next + 1] -= span.cross / scale;
    diagonal[3 * next + 2] += span.near / scale;
    coupling[3 * k] = -span.shear / scale;
    coupling[3 * k + 1] = span.cross / scale;
    coupling[3 * k + 2] = span.far / scale;
  }
  if (spans === 0) {
    diagonal[0] = confinementShare;
    diagonal[2] = 1;
  }
  return { nodes: n, ends, nodeWeight, diagonal, coupling, scale };
}

/**
 * Block LDLᵀ of stiffness + penalty·weight (both over the class's scale), 2×2 blocks of height and slope. A repeat is
 * closed by bordering: its last node is eliminated after all others.
 */
export function factorBeam(beam: BeamClass, penalty: number): BeamFactor {
  const n = beam.nodes;
  const periodic = beam.ends.repeats;
  const { levelStart, levelEnd } = beam.ends;
  const interior = periodic ? n - 1 : n;
  const steps = new Float64Array(FACTOR_STRIDE * n);
  const { diagonal, coupling, nodeWeight } = beam;
  let d11 = 0;
  let d12 = 0;
  let d22 = 0;
  for (let k = 0; k < interior; k++) {
    const w = FACTOR_STRIDE * k;
    let a11 = diagonal[3 * k] + penalty * nodeWeight[k];
    let a12 = diagonal[3 * k + 1];
    let a22 = diagonal[3 * k + 2];
    if (k > 0) {
      // Coupling block O = [[−shear, cross], [−cross, far]] from node k−1 (rows) to node k (columns); L = Oᵀ D⁻¹.
      const o11 = coupling[3 * k - 3];
      let o12 = coupling[3 * k - 2];
      let o21 = -o12;
      let o22 = coupling[3 * k - 1];
      if (levelStart && k === 1) {
        o21 = 0;
        o22 = 0;
      }
      if (levelEnd && k === n - 1) {
        o12 = 0;
        o22 = 0;
      }
      const l11 = o11 * d11 + o21 * d12;
      const l12 = o11 * d12 + o21 * d22;
      const l21 = o12 * d11 + o22 * d12;
      const l22 = o12 * d12 + o22 * d22;
      steps[w] = l11;
      steps[w + 1] = l12;
      steps[w + 2] = l21;
      steps[w + 3] = l22;
      a11 -= l11 * o11 + l12 * o21;
      a12 -= l11 * o12 + l12 * o22;
      a22 -= l21 * o12 + l22 * o22;
    }
    if ((levelStart && k === 0) || (levelEnd && k === n - 1)) {
      // Slope is zero where the beam is reflected.
      a12 = 0;
      a22 = 1;
    }
    const det = a11 * a22 - a12 * a12;
    d11 = a22 / det;
    d12 = -a12 / det;
    d22 = a11 / det;
    steps[w + 4] = d11;
    steps[w + 5] = d12;
    steps[w + 6] = d22;
    steps[w + 7] = penalty * nodeWeight[k];
  }
  if (!periodic) return { steps, border: null, closing: new Float64Array(0) };
  return closeRepeat(beam, penalty, steps);
}

/** Solves the interior for one right-hand side, both components a node, in place. */
function solveInterior(steps: Float64Array, n: number, y: Float64Array): void {
  for (let k = 1; k < n; k++) {
    const w = FACTOR_STRIDE * k;
    const a = y[2 * k - 2];
    const b = y[2 * k - 1];
    y[2 * k] -= steps[w] * a + steps[w + 1] * b;
    y[2 * k + 1] -= steps[w + 2] * a + steps[w + 3] * b;
  }
  let x1 = 0;
  let x2 = 0;
  for (let k = n - 1; k >= 0; k--) {
    const w = FACTOR_STRIDE * k;
    const v = w + FACTOR_STRIDE;
    const a = y[2 * k];
    const b = y[2 * k + 1];
    let s1 = steps[w + 4] * a + steps[w + 5] * b;
    let s2 = steps[w + 5] * a + steps[w + 6] * b;
    if (k < n - 1) {
      s1 -= steps[v] * x1 + steps[v + 2] * x2;
      s2 -= steps[v + 1] * x1 + steps[v + 3] * x2;
    }
    x1 = s1;
    x2 = s2;
    y[2 * k] = x1;
    y[2 * k + 1] = x2;
  }
}

function closeRepeat(beam: BeamClass, penalty: number, steps: Float64Array): BeamFactor {
  const n = beam.nodes;
  const m = n - 1;
  const { diagonal, coupling } = beam;
  const closing = new Float64Array(11);
  let s11 = diagonal[3 * m] + penalty;
  let s12 = diagonal[3 * m + 1];
  let s22 = diagonal[3 * m + 2];
  const shear = coupling[3 * m];
  const cross = coupling[3 * m + 1];
  const far = coupling[3 * m + 2];
  steps[FACTOR_STRIDE * m + 7] = penalty;
  let border: Float64Array | null = null;
  if (m === 0) {
    // The only node couples to itself: cross terms cancel.
    s11 += 2 * shear;
    s22 += 2 * far;
  } else {
    // Rows: closing node's height and slope; columns: height and slope of the first and of the last interior node.
    closing.set([shear, cross, -cross, far], 0);
    const before = 3 * (m - 1);
    closing.set([coupling[before], -coupling[before + 1], coupling[before + 1], coupling[before + 2]], 4);
    const y = [new Float64Array(2 * m), new Float64Array(2 * m)];
    y.forEach((column, c) => {
      column[0] += closing[2 * c];
      column[1] += closing[2 * c + 1];
      column[2 * m - 2] += closing[4 + 2 * c];
      column[2 * m - 1] += closing[4 + 2 * c + 1];
      solveInterior(steps, m, column);
    });
    border = new Float64Array(4 * m);
    for (let k = 0; k < m; k++) border.set([y[0][2 * k], y[1][2 * k], y[0][2 * k + 1], y[1][2 * k + 1]], 4 * k);
    const e = 4 * (m - 1);
    const product = (r: number, c: number) =>
      closing[2 * r] * border![c] +
      closing[2 * r + 1] * border![2 + c] +
      closing[4 + 2 * r] * border![e + c] +
      closing[4 + 2 * r + 1] * border![e + 2 + c];
    s11 -= product(0, 0);
    s12 -= product(0, 1);
    s22 -= product(1, 1);
  }
  const det = s11 * s22 - s12 * s12;
  closing[8] = s22 / det;
  closing[9] = -s12 / det;
  closing[10] = s11 / det;
  return { steps, border, closing };
}
