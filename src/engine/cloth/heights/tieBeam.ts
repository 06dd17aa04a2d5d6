/** Stiffness of one span between nodes: force and moment at its ends per height and slope there. */
export interface SpanStiffness {
  /** Shear per unit height difference, N/mm. */
  shear: number;
  /** Shear per unit slope, and moment per unit height, N. */
  cross: number;
  /** Moment per unit slope at the same end, N mm. */
  near: number;
  /** Moment per unit slope at the other end, N mm. */
  far: number;
}

/** Below this λ the closed form loses digits to cancellation and the series has all of them. */
const SERIES_BELOW = 0.15;

/**
 * Exact small-slope stiffness of a span of length p (mm), bending stiffness B (N mm²), under tension T (N).
 * Stability functions of the tie-beam with λ = p·sqrt(T/B); at T = 0 the cubic Hermite beam (12, 6, 4, 2).
 * Source: S. P. Timoshenko, Strength of Materials (tie-beam; from memory), re-derived. Error of the series < 1e-9.
 */
export function spanStiffness(p: number, B: number, T: number, out: SpanStiffness): void {
  const lambda = p * Math.sqrt(T / B);
  let a: number;
  let b: number;
  let c: number;
  let d: number;
  if (lambda < SERIES_BELOW) {
    const q = lambda * lambda;
    a = 12 + q * (6 / 5 - q * (1 / 700 - q / 63000));
    b = 6 + q * (1 / 10 - q * (1 / 1400 - q / 126000));
    c = 4 + q * (2 / 15 - q * (11 / 6300 - q / 27000));
    d = 2 - q * (1 / 30 - q * (13 / 12600 - (11 * q) / 378000));
  } else {
    // All terms times 2·exp(−λ), so that long taut spans do not overflow.
    const E = Math.exp(-lambda);
    const sinh = 1 - E * E;
    const cosh = 1 + E * E;
    const phi = 4 * E - 2 * cosh + lambda * sinh;
    a = (lambda ** 3 * sinh) / phi;
    b = (lambda ** 2 * (cosh - 2 * E)) / phi;
    c = (lambda * (lambda * cosh - sinh)) / phi;
    d = (lambda * (sinh - 2 * E * lambda)) / phi;
  }
  out.shear = (a * B) / p ** 3;
  out.cross = (b * B) / p ** 2;
  out.near = (c * B) / p;
  out.far = (d * B) / p;
}
