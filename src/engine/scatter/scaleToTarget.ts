const MOST_PASSES = 60;
/** Far below what a table of 16 nodes can resolve. */
const CLOSE_ENOUGH = 1e-5;

/**
 * s with s(o) Σ_i A(o, i) s(i) = target(o), by s ← s/sqrt(E/target) from s = 1. A positive, target positive; A need not
 * be exactly symmetric (its quadrature is not).
 * @param matrix row-major, target.length squared
 */
export function scaleToTarget(matrix: Float64Array, target: Float64Array): Float64Array {
  const n = target.length;
  const s = new Float64Array(n).fill(1);
  const step = new Float64Array(n);
  for (let pass = 0; pass < MOST_PASSES; pass++) {
    let worst = 0;
    for (let o = 0; o < n; o++) {
      let sum = 0;
      const row = o * n;
      for (let i = 0; i < n; i++) sum += matrix[row + i] * s[i];
      const share = (sum * s[o]) / target[o];
      worst = Math.max(worst, Math.abs(share - 1));
      step[o] = 1 / Math.sqrt(share);
    }
    for (let o = 0; o < n; o++) s[o] *= step[o];
    if (worst < CLOSE_ENOUGH) break;
  }
  return s;
}
