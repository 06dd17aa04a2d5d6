/** What a swatch told of the beat on its loom. */
export interface SwatchBeat {
  /** Resistance that the beat overcame over what its firmness is taken to mean. */
  readonly beatFactor: number;
  /** Standard deviation of the factor's logarithm, from what the swatch was measured to. */
  readonly logDoubt: number;
}

/** 80 % of a normal lie within so many standard deviations. */
export const WITHIN_80 = 1.2816;

/** Standard deviation of log R before anything is known of the loom: 80 % within a factor of 1.4 (see `readings.ts`). */
const LOG_PRIOR = Math.log(1.4) / WITHIN_80;
/**
 * From one sample to the next on a loom by the same hand, at the same firmness: a tenth, an estimate. A narrow sample
 * predicts the next narrow one better than a wide cloth on another loom, which is why the figure stays with the loom.
 */
const LOG_FROM_SAMPLE_TO_SAMPLE = 0.1;

export interface LoomBeat {
  readonly resistanceFactor: number;
  readonly resistanceDoubt: number;
}

/**
 * The beat on a loom from its swatches: mean of log R weighted by 1/variance with the prior's at factor 1 (normal
 * posterior), and the factor within which the next sample's resistance lies with 80 %. None for a loom without swatches.
 */
export function beatOfLoom(swatches: readonly SwatchBeat[] | undefined): LoomBeat | undefined {
  if (!swatches || swatches.length === 0) return undefined;
  let weight = 1 / LOG_PRIOR ** 2;
  let sum = 0;
  for (const { beatFactor, logDoubt } of swatches) {
    const each = 1 / (logDoubt ** 2 + LOG_FROM_SAMPLE_TO_SAMPLE ** 2);
    weight += each;
    sum += each * Math.log(beatFactor);
  }
  const next = Math.sqrt(1 / weight + LOG_FROM_SAMPLE_TO_SAMPLE ** 2);
  return { resistanceFactor: Math.exp(sum / weight), resistanceDoubt: Math.exp(WITHIN_80 * next) };
}
