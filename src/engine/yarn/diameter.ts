import type { GramsPerCubicCentimetre, Millimetres, Tex } from '#engine/units/units.ts';

/** mm³ of fibre in a mm of yarn per tex and g/cm³: 1 tex = 1e-6 g/mm, 1 g/cm³ = 1e-3 g/mm³. */
const SQUARE_MM_PER_TEX = 1e-3;

/**
 * Area of the fibre itself in a cross-section, voids left out: A = T / (1000 ρ).
 *
 * Units: mm² from tex and g/cm³. Exact by definition of linear density.
 */
export function fibreAreaMm2(tex: Tex, fibreDensityGPerCm3: GramsPerCubicCentimetre): number {
  return (SQUARE_MM_PER_TEX * tex) / fibreDensityGPerCm3;
}

/**
 * Diameter of a round yarn of given packing: d = sqrt(4 T / (π φ ρ · 1000)).
 *
 * F. T. Peirce 1937, J. Text. Inst. 28, T45, with his specific volume 1.1 cm³/g written as 1 / (φ ρ).
 * Units: mm from tex, a share 0..1 and g/cm³. With the packing of yarn in cloth (0.5–0.65 for firm spun yarns)
 * this is the contact width; packing is known to about ±10 %, so the diameter to about ±5 %.
 */
export function roundDiameterMm(
  tex: Tex,
  packingFraction: number,
  fibreDensityGPerCm3: GramsPerCubicCentimetre,
): Millimetres {
  return Math.sqrt((4 * fibreAreaMm2(tex, fibreDensityGPerCm3)) / (Math.PI * packingFraction));
}

/** Inverse of {@link roundDiameterMm}: the packing fraction of a round yarn whose diameter is known. */
export function packingFromDiameter(
  tex: Tex,
  diameterMm: Millimetres,
  fibreDensityGPerCm3: GramsPerCubicCentimetre,
): number {
  return (4 * fibreAreaMm2(tex, fibreDensityGPerCm3)) / (Math.PI * diameterMm * diameterMm);
}

/** Linear density of a strip: T = 1000 w g ρ (tex from mm, mm, g/cm³); exact for a solid film. */
export function stripTex(widthMm: Millimetres, gaugeMm: Millimetres, densityGPerCm3: GramsPerCubicCentimetre): Tex {
  return (widthMm * gaugeMm * densityGPerCm3) / SQUARE_MM_PER_TEX;
}
