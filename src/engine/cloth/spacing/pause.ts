/**
 * Stress of a yarn held stretched falls evenly with the logarithm of time (R. Meredith 1954, J. Text. Inst. 45, T438, on
 * fibres at constant extension; from memory). Six hundredths a decade is an estimate for spun cellulosics under weaving tension.
 */
const RELAXED_A_DECADE = 0.06;
/** Minutes from which decades are counted: a shorter stop is part of weaving. */
const FROM_MIN = 1;
/**
 * Picks over which a stop wears off: beats and shedding stretch warp and fell to where they were. Bars of one to a few
 * picks are what weavers see (common practice).
 */
const WEARS_OFF_PICKS = 2;

/** Share of the warp's tension that is left after standing so many minutes. 1 at 0; 0.83 after a night. */
export function tensionAfterPause(minutes: number): number {
  return Math.max(0.1, 1 - RELAXED_A_DECADE * Math.log10(1 + Math.max(0, minutes) / FROM_MIN));
}

/**
 * Share of the warp's tension against which each pick is beaten in, from the minutes that the loom stood before it.
 * A slacker warp resists less (K of the beat-up law goes with T), so that the first picks after a pause lie closer: a bar.
 * Undefined where the loom never stood.
 */
export function tensionLeftByPick(pauseBeforeMin: readonly (number | undefined)[]): Float64Array | undefined {
  if (!pauseBeforeMin.some((minutes) => minutes !== undefined && minutes > 0)) return undefined;
  let lost = 0;
  return Float64Array.from(pauseBeforeMin, (minutes) => {
    lost *= Math.exp(-1 / WEARS_OFF_PICKS);
    if (minutes !== undefined && minutes > 0) lost = Math.max(lost, 1 - tensionAfterPause(minutes));
    return 1 - lost;
  });
}
