import type { YarnHair } from './hair.ts';
import { fibreCurvature, fibreUnevenness } from './hairFibres.ts';

/** How far a cloth was treated: 0 not at all, 1 as far as is usual. */
export interface HairTreatment {
  /** Nap raised with a brush or teasel. */
  readonly brushed?: number;
  /** Washed so that fibres that felt or swell come up; 0 for those that do not (the fibre decides, not this function). */
  readonly washed?: number;
}

/** Raised once over: three times the hairs, half as long again (estimates; published figures of raising vary as much). */
const BRUSHED_COUNT = 2;
const BRUSHED_LENGTH = 0.5;
/** Of woollen yarns washed by hand (estimate). */
const WASHED_COUNT = 0.6;
const WASHED_LENGTH = 0.25;
/** Brushed hair stands up by this much of its lean (estimate). */
const BRUSHED_UPRIGHT = 0.35;
/** From here on loops are broken and stand as fibres (estimate). */
const LOOPS_BREAK = 0.5;
/** Fibre of a broken loop's strand, mm: of mohair, the yarn that is looped to be brushed. */
const BROKEN_FIBRE_MM = 0.03;

/**
 * Hair after brushing and washing: more of it, longer and, where brushed, more upright. Pile and frayed edges only stand
 * up; loops keep until a brush breaks them, and the same mass stands as fibres then. Pure; 0 and 0 change nothing.
 * @param treatment shares 0..1; what lies outside is taken as the nearer of these
 */
export function bloomedHair(hair: YarnHair | undefined, treatment: HairTreatment): YarnHair | undefined {
  const brushed = share(treatment.brushed);
  const washed = share(treatment.washed);
  if (!hair || (brushed === 0 && washed === 0)) return hair;
  const lean = hair.leanMeanRad * (1 - BRUSHED_UPRIGHT * brushed);
  const provenance = { ...hair.provenance, finished: 'brushing and washing: estimates' };
  if (hair.form === 'loop') return brushed < LOOPS_BREAK ? hair : { ...brokenLoops(hair), provenance };
  const upright = Math.cos(lean) / Math.cos(hair.leanMeanRad);
  if (hair.form === 'edge' || hair.pressed || hair.evenness > 0.5) return { ...hair, leanMeanRad: lean, provenance };
  const grows = (1 + BRUSHED_LENGTH * brushed) * (1 + WASHED_LENGTH * washed);
  return {
    ...hair,
    perMm: hair.perMm * (1 + BRUSHED_COUNT * brushed) * (1 + WASHED_COUNT * washed),
    meanLengthMm: hair.meanLengthMm * grows,
    longestMm: hair.longestMm * grows,
    leanMeanRad: lean,
    heightMm: hair.heightMm * grows * upright,
    provenance,
  };
}

function share(value: number | undefined): number {
  return Math.min(1, Math.max(0, value ?? 0));
}

/** The strand's fibres one by one: as much volume, on average half as long as the loop was. */
function brokenLoops(hair: YarnHair): YarnHair {
  const fibres = 0.5 * (hair.diameterMm / BROKEN_FIBRE_MM) ** 2;
  const mean = hair.meanLengthMm / 2;
  return {
    ...hair,
    form: 'hair',
    windsPerMm: undefined,
    // Half of a loop's strand is fibre; cut once, each of its fibres stands at two places.
    perMm: 2 * hair.perMm * fibres,
    meanLengthMm: mean,
    longestMm: 2 * mean,
    evenness: 0,
    diameterMm: BROKEN_FIBRE_MM,
    taper: 0.3,
    leanMeanRad: 0.8,
    curvaturePerMm: fibreCurvature('mohair'),
    unevenness: fibreUnevenness('mohair'),
    heightMm: 1.2 * mean,
  };
}
