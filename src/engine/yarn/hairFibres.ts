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

/** By how much a free end bows aside, over its run: crimped wool most, stiff bast least (estimates). */
const curls: Readonly<Record<string, number>> = {
  wool: 0.7,
  acrylic: 0.6,
  cotton: 0.5,
  mohair: 0.35,
  linen: 0.15,
  jute: 0.15,
};
const USUAL_CURL = 0.3;

/**
 * Half the range of diameters within a lot over their mean: those of `diametersMm`; spun fibres are nearly alike. Of mohair, whose
 * fleeces vary most, from a standard deviation of 24–29 % of the mean (from memory of fleece testing), evenly spread.
 */
const unevennesses: Readonly<Record<string, number>> = {
  cotton: 0.25,
  linen: 0.4,
  wool: 0.2,
  mohair: 0.45,
  silk: 0.2,
  jute: 0.4,
};
const USUAL_UNEVENNESS = 0.1;

/**
 * Mean curvature of single fibres as they lie free, rad/mm, where waves are longer than free ends: mohair 13–18° to the mm (from
 * memory of curvatures measured on snippets). Merino's 70–110° are crimp, which turns back within a mm or two.
 */
const curvatures: Readonly<Record<string, number>> = { mohair: 0.27 };

/** Mean curvature of a free end that bends one way all along, rad/mm; undefined of fibres that do not. */
export function fibreCurvature(fibre: string): number | undefined {
  return curvatures[fibreNameOf(fibre) ?? ''];
}

/** Most that a fibre's free end bows aside of the way it leans, over its run along the yarn's surface. */
export function fibreCurl(fibre: string): number {
  return curls[fibreNameOf(fibre) ?? ''] ?? USUAL_CURL;
}

/** Thinnest and thickest fibres of a lot are this share thinner and thicker than the mean. */
export function fibreUnevenness(fibre: string): number {
  return unevennesses[fibreNameOf(fibre) ?? ''] ?? USUAL_UNEVENNESS;
}
