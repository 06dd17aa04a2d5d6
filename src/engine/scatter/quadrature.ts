export interface Quadrature {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

/**
 * Gauss–Legendre nodes and weights on [from, to], exact for polynomials up to degree 2 count − 1.
 * Roots of P_n by Newton's method from cos(π(k + 3/4)/(n + 1/2)) (Abramowitz & Stegun 1964, 25.4.29 and 22.16.6).
 */
export function gaussLegendre(count: number, from: number, to: number): Quadrature {
  const nodes = new Float64Array(count);
  const weights = new Float64Array(count);
  const half = (to - from) / 2;
  for (let k = 0; k < count; k++) {
    let x = Math.cos((Math.PI * (k + 0.75)) / (count + 0.5));
    let slope = 1;
    for (let step = 0; step < 100; step++) {
      let p0 = 1;
      let p1 = x;
      for (let n = 2; n <= count; n++) [p0, p1] = [p1, ((2 * n - 1) * x * p1 - (n - 1) * p0) / n];
      slope = (count * (x * p1 - p0)) / (x * x - 1);
      const move = p1 / slope;
      x -= move;
      if (Math.abs(move) < 1e-15) break;
    }
    nodes[count - 1 - k] = from + half * (1 + x);
    weights[count - 1 - k] = (2 * half) / ((1 - x * x) * slope * slope);
  }
  return { nodes, weights };
}
