import type { Millimetres } from '#engine/units/units.ts';
import { fibreFactsOf, fibreNameOf } from './fibres.ts';
import type { YarnFacts } from './yarnTypes.ts';

/** Wire within a yarn that stays where a hand bends it. */
export interface BendableCore {
  readonly wireMm: Millimetres;
  /** Curvature at which its outermost metal begins to yield, 1/mm. */
  readonly yieldCurvaturePerMm: number;
  /** The tightest radius of the yarn's own middle: the wire's, or half of what is wound round it. */
  readonly leastRadiusMm: Millimetres;
}

/**
 * Strain at yield and at break of soft (annealed) wire, from memory of handbooks: low-carbon steel 250 MPa over 210 GPa,
 * copper 60 MPa over 118 GPa. Drawn wire yields at three to five times that, and springs back so much more.
 */
const metals: Readonly<Record<string, { readonly yieldStrain: number; readonly breakStrain: number }>> = {
  steel: { yieldStrain: 0.0012, breakStrain: 0.2 },
  copper: { yieldStrain: 0.0005, breakStrain: 0.3 },
};

/** Less stiff than this, a hand's bend in the wire gives way to the threads that cross it (estimate: 0.05 mm of copper). */
const LEAST_BENDING_NMM2 = 0.03;
/** A pile or a wound cover is pressed to about half of its height on the inside of a bend (estimate). */
const COVER_PRESSED = 0.5;

/**
 * The wire that a yarn's bending stiffness tells of: n wires side by side, B = n E π d⁴/64. Undefined where none of it is metal.
 * @param heightMm of the yarn's section
 */
export function bendableCore(facts: YarnFacts, heightMm: Millimetres): BendableCore | undefined {
  const metal = metals[fibreNameOf(facts.fibre) ?? ''];
  const bendingNmm2 = Math.sqrt(facts.bendingNmm2[0] * facts.bendingNmm2[1]);
  if (!metal || facts.shape !== 'round' || bendingNmm2 < LEAST_BENDING_NMM2) return undefined;
  const [least, most] = fibreFactsOf(facts.fibre).modulusGPa;
  const wireMm = ((64 * bendingNmm2) / (Math.PI * 1000 * Math.sqrt(least * most) * facts.plies)) ** 0.25;
  return {
    wireMm,
    yieldCurvaturePerMm: (2 * metal.yieldStrain) / wireMm,
    leastRadiusMm: Math.max(wireMm / (2 * metal.breakStrain), (COVER_PRESSED * heightMm) / 2),
  };
}

/**
 * Moment of a round wire of elastic, perfectly plastic metal over that at which it first yields, at k times the curvature of
 * first yield: metal within c = R/k of the middle is elastic, the rest pulls at its yield stress. 1 at k = 1, 16/(3π) wholly plastic.
 * S. P. Timoshenko, Strength of Materials II, 3rd edition 1956 (plastic bending; the integral over a circle is worked out here).
 */
export function momentOverYield(k: number): number {
  if (k <= 1) return k;
  const c = 1 / k;
  const root = Math.sqrt(1 - c * c);
  const elastic = (Math.asin(c) - c * root * (1 - 2 * c * c)) / (8 * c);
  return (16 / Math.PI) * (elastic + root ** 3 / 3);
}

const STEPS = 48;

/**
 * Curvature to which a wire must be bent so that, let go, it keeps the curvature wanted: it springs back by what its moment bends
 * it elastically, M/EI. Both 1/mm; found by halving, since what is kept grows with what is bent.
 */
export function bentCurvature(keptPerMm: number, { yieldCurvaturePerMm }: BendableCore): number {
  const kept = keptPerMm / yieldCurvaturePerMm;
  let low = kept;
  let high = kept + 2;
  for (let step = 0; step < STEPS; step++) {
    const middle = (low + high) / 2;
    if (middle - momentOverYield(middle) < kept) low = middle;
    else high = middle;
  }
  return ((low + high) / 2) * yieldCurvaturePerMm;
}
