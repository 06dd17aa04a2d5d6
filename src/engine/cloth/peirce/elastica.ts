import type { Radians } from '#engine/units/units.ts';
import { ellipticE, ellipticF } from './ellipticIntegrals.ts';
import { risingRoot } from './peirce.ts';

/**
 * A bent thread through alternating supports, tension-free and with no limit on slope.
 *
 * From a support (axis level) to the point midway between two supports it is a cantilever with a transverse end load
 * P: K. E. Bisshopp & D. C. Drucker 1945, Large deflection of cantilever beams, Q. Appl. Math. 3, 272. With the tip
 * slope φ0, k² = (1 + sin φ0)/2 and sin θ1 = 1/(k √2):
 *   L sqrt(P/B) = K(k) − F(θ1, k),   w = L − 2 [E(k) − E(θ1, k)] / sqrt(P/B),   L − u = sqrt(2 sin φ0 B/P).
 * A thread's crimp height is h = 2 w, its spacing p = 2 (L − u), its length l = 2 L. Checked against the table of
 * K. Mattiasson 1981, Int. J. Numer. Meth. Engng 17, 145.
 */
export interface Elastica {
  readonly tipSlopeRad: Radians;
  /** P L² / B. */
  readonly loadRatio: number;
  /** Deflection and shortening of the half span, over its length L. */
  readonly deflectionOverL: number;
  readonly shorteningOverL: number;
  readonly heightOverSpacing: number;
  readonly crimp: number;
  /** U p³ / (B h²) of the thread from one support to the next; 6 for small slopes (Euler–Bernoulli). */
  readonly energyCoefficient: number;
}

/** Elastica of given tip slope, 0 < φ0 < π/2; exact but for rounding (relative 1e-9 for slopes above 1e-4). */
function elasticaFromTipSlope(tipSlopeRad: Radians): Elastica {
  if (!(tipSlopeRad > 0 && tipSlopeRad < Math.PI / 2)) {
    throw new RangeError(`tip slope ${tipSlopeRad} rad: give one between 0 and π/2`);
  }
  const sine = Math.sin(tipSlopeRad);
  const k = Math.sqrt((1 + sine) / 2);
  const theta1 = Math.asin(Math.min(1, 1 / (k * Math.SQRT2)));
  const alpha = ellipticF(Math.PI / 2, k) - ellipticF(theta1, k);
  const deflectionOverL = 1 - (2 * (ellipticE(Math.PI / 2, k) - ellipticE(theta1, k))) / alpha;
  const projectedOverL = Math.sqrt(2 * sine) / alpha;
  const heightOverSpacing = deflectionOverL / projectedOverL;
  // U = 2 ∫ (B/2) κ² ds with B κ²/2 = P (sin φ0 − sin φ), so U = 2 P (L sin φ0 − w) from support to support.
  const energy = 2 * alpha * alpha * (sine - deflectionOverL);
  return {
    tipSlopeRad,
    loadRatio: alpha * alpha,
    deflectionOverL,
    shorteningOverL: 1 - projectedOverL,
    heightOverSpacing,
    crimp: 1 / projectedOverL - 1,
    // Lengths over L: p = 2 (1 − u), h = 2 w.
    energyCoefficient: (energy * (2 * projectedOverL) ** 3) / (2 * deflectionOverL) ** 2,
  };
}

const STEEPEST_RAD = Math.PI / 2 - 1e-9;

/** Elastica of given load ratio P L²/B > 0. */
export function elasticaFromLoad(loadRatio: number): Elastica {
  return elasticaFromTipSlope(
    risingRoot((slope) => elasticaFromTipSlope(slope).loadRatio - loadRatio, 0, STEEPEST_RAD),
  );
}

/** Elastica of given crimp height over spacing of its supports, h/p > 0. */
export function elasticaFromHeight(heightOverSpacing: number): Elastica {
  return elasticaFromTipSlope(
    risingRoot((slope) => elasticaFromTipSlope(slope).heightOverSpacing - heightOverSpacing, 0, STEEPEST_RAD),
  );
}

/**
 * Bending energy per crossing of a Peirce path: two half arcs of radius D/2 through θ, U = B/2 (2/D)² D θ = 2 B θ / D.
 * More than the elastica of the same h and p, which is the thread's own choice. In the unit of B over mm.
 */
export function peirceBendingEnergy(bendingNmm2: number, dMm: number, angleRad: Radians): number {
  return (2 * bendingNmm2 * angleRad) / dMm;
}

/** Small-slope (Euler–Bernoulli) energy per crossing: U = 6 B h² / p³. Within 1.3 % at h/p 0.1, 21 % over at 0.4. */
export function beamBendingEnergy(bendingNmm2: number, heightMm: number, spacingMm: number): number {
  return (6 * bendingNmm2 * heightMm * heightMm) / spacingMm ** 3;
}
