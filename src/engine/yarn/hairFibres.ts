import { fibreNameOf } from './fibres.ts';

/**
 * Fibre diameters, mm: middles of the ranges in Morton & Hearle 2008 and in the microscopy of Von Bergen 1963 (cotton 12–20
 * µm, wool 17–25, mohair 23–38 read; the others from memory or computed from fineness). Linen and jute stand off in
 * bundles of a few ultimates (from memory).
 */
const diametersMm: Readonly<Record<string, number>> = {
  cotton: 0.016,
  linen: 0.025,
  wool: 0.021,
  mohair: 0.03,
  silk: 0.012,
  viscose: 0.015,
  lyocell: 0.0115,
  acetate: 0.018,
  nylon: 0.02,
  polyester: 0.016,
  acrylic: 0.017,
  jute: 0.06,
};

/** Any other fibre is taken to be as thick as most are. */
const USUAL_MM = 0.018;

/** Mean diameter of a single fibre as it stands off a yarn, mm. */
export function fibreDiameterMm(fibre: string): number {
  return diametersMm[fibreNameOf(fibre) ?? ''] ?? USUAL_MM;
}
