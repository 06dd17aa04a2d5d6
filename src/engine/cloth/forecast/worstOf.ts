import type { SolveResiduals } from '#engine/cloth/clothTypes.ts';

/** Of two parts of a cloth, the worse. */
export function worstOf(a: SolveResiduals, b: SolveResiduals): SolveResiduals {
  return {
    iterations: Math.max(a.iterations, b.iterations),
    penetration: Math.max(a.penetration, b.penetration),
    forceImbalance: Math.max(a.forceImbalance, b.forceImbalance),
    complementarity: Math.max(a.complementarity, b.complementarity),
    converged: a.converged && b.converged,
  };
}
