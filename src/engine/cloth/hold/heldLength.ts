/**
 * Length of a thread (mm) over which friction at its turns holds a pull: T = T₀ e^{μΘ} (L. Euler 1769; J. A. Eytelwein
 * 1808), of which what the cloth itself keeps in the thread, T₀, is there without a pull; so P = T₀(e^{μΘℓ} − 1) and
 * ℓ = ln(1 + P/T₀)/(μΘ). Infinite where the thread runs straight or nothing is left in it.
 * @param pullN P, N. @param keptN T₀, N. @param friction μ. @param turnPerMm Θ, rad/mm
 */
export function heldLengthMm(pullN: number, keptN: number, friction: number, turnPerMm: number): number {
  const grip = friction * turnPerMm;
  return grip > 0 && keptN > 0 ? Math.log1p(pullN / keptN) / grip : Number.POSITIVE_INFINITY;
}
