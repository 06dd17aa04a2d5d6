import type { GramsPerCubicCentimetre, Millimetres, NewtonSquareMillimetres, Tex } from '#engine/units/units.ts';

/**
 * Bending rigidity of one fibre: B = η E T² / (4 π ρ) · 1e-3 N mm².
 *
 * W. E. Morton & J. W. S. Hearle, Physical Properties of Textile Fibres, chapter on directional effects (form from
 * memory; equals E π d⁴/64 with d from T and ρ). E in N/tex, T in tex, ρ in g/cm³; η = 1 for a round section,
 * 0.7–0.9 for most fibres. E itself is known to about ±30 %.
 */
export function fibreBendingNmm2(
  modulusNPerTex: number,
  tex: Tex,
  densityGPerCm3: GramsPerCubicCentimetre,
  shapeFactor = 1,
): NewtonSquareMillimetres {
  return (shapeFactor * modulusNPerTex * tex * tex * 1e-3) / (4 * Math.PI * densityGPerCm3);
}

/**
 * Bounds on a yarn's bending rigidity: every fibre free to slide (T/T_f times one fibre) and every fibre locked
 * (a solid rod of the same packing): B = E T_f T/(4πρ)·1e-3 … E T²/(4πρφ)·1e-3 N mm².
 *
 * Classical beam bounds (P. Grosberg & others; from memory). They lie a factor of 500–5000 apart; tests put spun yarns
 * within 1–6 times the lower one, so take [1, 6] times `free` unless a measurement says otherwise.
 */
export function yarnBendingBoundsNmm2(
  modulusNPerTex: number,
  fibreTex: Tex,
  yarnTex: Tex,
  densityGPerCm3: GramsPerCubicCentimetre,
  packingFraction: number,
): { readonly freeNmm2: NewtonSquareMillimetres; readonly lockedNmm2: NewtonSquareMillimetres } {
  const single = (modulusNPerTex * yarnTex * 1e-3) / (4 * Math.PI * densityGPerCm3);
  return { freeNmm2: single * fibreTex, lockedNmm2: (single * yarnTex) / packingFraction };
}

/** Bending rigidity of a solid strip across its thickness: B = E w g³/12 (E in N/mm²). Beam theory; isotropic film. */
export function stripBendingNmm2(
  modulusNPerMm2: number,
  widthMm: Millimetres,
  gaugeMm: Millimetres,
): NewtonSquareMillimetres {
  return (modulusNPerMm2 * widthMm * gaugeMm ** 3) / 12;
}
