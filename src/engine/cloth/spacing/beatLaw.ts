import type { Millimetres, NewtonSquareMillimetres, Newtons, PerCentimetre } from '#engine/units/units.ts';

/**
 * The weaving-resistance law of beat-up: R = K/(S − D_s), R the resistance per cm of cloth width, S the pick spacing,
 * D_s the least spacing that a pick can have against its neighbour.
 * K. Greenwood & W. T. Cowhig 1956, J. Text. Inst. 47, T241 and T255 (empirical, spun yarns, plain cloths).
 */

/** Hand beating, 50 to 400 N in all (from memory), over 60 cm of cloth. */
const LOOSEST_BEAT_N_PER_CM = 50 / 60;
const BEAT_RANGE = 400 / 50;

/**
 * k0 of K = k0·x·(T + B/p²), mm. Fitted on one published balanced cloth: 10/2 cotton (118.1 tex, 0.406 mm), plain,
 * 24 ends/in, 'fairly firm' (0.7 here), 21 picks/in; 0.6 N an end is common practice (0.5 cN/tex). Held in
 * `tests/reference/beatUp.test.ts`, which refits it.
 */
export const RESISTANCE_CONSTANT_MM = 0.495;

/** Firmness at which a weaver would say 'fairly firm'. */
export const FAIRLY_FIRM = 0.7;

/** Resistance that a beat of this firmness overcomes, N per cm of width. Geometric from 0.8 (f = 0) to 6.7 (f = 1). */
export function beatResistance(firmness: number): number {
  return LOOSEST_BEAT_N_PER_CM * BEAT_RANGE ** firmness;
}

/** Inverse of `beatResistance`; outside 0..1 the beat is beyond what an arm and a hand loom give. */
export function firmnessOfResistance(resistanceNPerCm: number): number {
  return Math.log(resistanceNPerCm / LOOSEST_BEAT_N_PER_CM) / Math.log(BEAT_RANGE);
}

/**
 * K (N mm per cm of width): how fast resistance grows as a pick nears its least spacing.
 * @param endsChangingPerCm x, ends that change side between the two picks, per cm of width
 * @param endTensionN T, mean over those ends
 * @param endBendingNmm2 B, likewise
 * @param spacingMm p, the pick spacing over which such an end must bend
 */
export function resistanceSlope(
  endsChangingPerCm: PerCentimetre,
  endTensionN: Newtons,
  endBendingNmm2: NewtonSquareMillimetres,
  spacingMm: Millimetres,
): number {
  return RESISTANCE_CONSTANT_MM * endsChangingPerCm * (endTensionN + endBendingNmm2 / (spacingMm * spacingMm));
}

/** S from the law, given K (N mm/cm), D_s (mm) and R (N/cm). */
export function spacingFromResistance(slope: number, leastSpacingMm: Millimetres, resistanceNPerCm: number): number {
  return leastSpacingMm + slope / resistanceNPerCm;
}

/** R from the law; infinite at or below D_s. */
export function resistanceFromSpacing(slope: number, leastSpacingMm: Millimetres, spacingMm: Millimetres): number {
  return spacingMm > leastSpacingMm ? slope / (spacingMm - leastSpacingMm) : Number.POSITIVE_INFINITY;
}

/**
 * Distance from reed's foremost position to the fell at beat-up: R = (E_w/L_w + E_f/L_f) Z, Z = L − S.
 * Greenwood & Cowhig 1956. Moduli in N (force per unit strain over the width), lengths mm, R in N over the same width.
 */
export function clothFellDistance(
  resistanceN: Newtons,
  spacingMm: Millimetres,
  warp: { readonly modulusN: Newtons; readonly lengthMm: Millimetres },
  cloth: { readonly modulusN: Newtons; readonly lengthMm: Millimetres },
): { readonly springNPerMm: number; readonly fellDistanceMm: Millimetres } {
  const springNPerMm = warp.modulusN / warp.lengthMm + cloth.modulusN / cloth.lengthMm;
  return { springNPerMm, fellDistanceMm: spacingMm + resistanceN / springNPerMm };
}
