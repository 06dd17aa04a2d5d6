import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { Reading } from '#engine/units/reading.ts';
import type { Millimetres } from '#engine/units/units.ts';

/** N/mm² of a cloth of 1 g/m². */
export const NEWTON_PER_MM2_PER_GSM = 9.80665e-9;

/**
 * Bending stiffness of a cloth along its warp, N mm² a mm of width: that of its ends side by side, as if no weft held them. Cloth
 * is rarely less stiff and often two to four times as stiff where it is closely set (from memory of bending tests).
 */
export function warpwiseStiffnessNmm({ yarns, endYarn, endXMm }: ClothProblem): number {
  const widthMm = endXMm[endXMm.length - 1] - endXMm[0];
  let sum = 0;
  for (const yarn of endYarn) sum += yarns[yarn].bendingNmm2;
  return widthMm > 0 ? sum / widthMm : 0;
}

/**
 * Stiffness of a cloth bent along its warp and along its weft, N mm² a mm: that of its threads side by side, each longer than
 * the cloth by its take-up. From fibres that slide freely to yarns as stiff as they may be; see the caution above.
 */
export function clothStiffnessNmm(
  { yarns, endYarn, rowYarn }: ClothProblem,
  size: { readonly widthMm: number; readonly lengthMm: number },
  takeUp: { readonly warp: number; readonly weft: number },
): { readonly along: Reading; readonly across: Reading } {
  const side = (threads: Uint16Array, overMm: number, share: number): Reading => {
    const sum = (of: (yarn: number) => number) => threads.reduce((total, yarn) => total + of(yarn), 0);
    const each = overMm > 0 ? (1 - share) / overMm : 0;
    return {
      value: each * sum((yarn) => yarns[yarn].bendingNmm2),
      low: each * sum((yarn) => yarns[yarn].bendingRangeNmm2[0]),
      high: each * sum((yarn) => yarns[yarn].bendingRangeNmm2[1]),
    };
  };
  return { along: side(endYarn, size.widthMm, takeUp.warp), across: side(rowYarn, size.lengthMm, takeUp.weft) };
}

/**
 * Least radius to which a cloth bends by its own weight where it turns from lying to hanging. An elastic strip under a tension
 * T keeps B κ²/2 + T cos φ the same all along (the elastica's first integral; A. E. H. Love, A Treatise on the Mathematical
 * Theory of Elasticity, 4th edition 1927, ch. XIX), φ its angle to the tension; straight and hanging below, it lies level
 * above at κ = √(2T/B). The hanging part's weight is taken to pull at its upper end alone.
 * @param stiffnessNmm N mm² a mm of width @param weightGPerM2 g/m² @param hangingMm length that hangs
 * @returns mm; 0 for a limp cloth, Infinity where nothing hangs from a stiff one
 */
export function leastBendRadiusMm(stiffnessNmm: number, weightGPerM2: number, hangingMm: Millimetres): Millimetres {
  const tensionNPerMm = weightGPerM2 * NEWTON_PER_MM2_PER_GSM * hangingMm;
  return Math.sqrt(stiffnessNmm / (2 * tensionNPerMm));
}
