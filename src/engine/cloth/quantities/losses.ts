/**
 * Losses are shares of what there was before, so that what is needed is what is wanted divided by 1 − s: a fifth lost of
 * 12.5 leaves 10, a fifth added to 10 leaves 9.6 (common practice; the mistake is as common).
 */
export function beforeLosses(after: number, ...shares: readonly number[]): number {
  return shares.reduce((length, share) => {
    if (!(share < 1)) throw new RangeError(`loss of ${share}: nothing would be left; give a share below 1`);
    return length / (1 - share);
  }, after);
}

/** What is left of a length after losses, each a share of what there was before it. */
export function afterLosses(before: number, ...shares: readonly number[]): number {
  return shares.reduce((length, share) => length * (1 - share), before);
}

/** Crimp counts the extra length over the cloth, take-up over the yarn: t = c/(1 + c). */
export function takeUpOfCrimp(crimp: number): number {
  return crimp / (1 + crimp);
}

/**
 * Contraction of the warp as a share of its length, from intersections of an end to the inch and the weft's cotton count:
 * k per cent; k = 4 for heavy, 3 for medium cloths. J. T. Taylor 1909, Cotton Weaving and Designing. A rule of thumb of
 * mill cottons; the forecast's own take-up follows from the threads' paths instead.
 */
export function taylorContraction(k: number, intersectionsPerInch: number, weftNe: number): number {
  return (k * intersectionsPerInch) / weftNe / 100;
}
