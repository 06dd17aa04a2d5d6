/** What a yarn lost of its own length, share of it: most likely, and between what. */
export interface FittedShrinkage {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * How much a yarn shortened in finishing, from what the cloth lost along it: l'/l = (L'/L)(1 + c')/(1 + c). Crossed
 * threads keep their thickness, so that crimp grows as the crossings close up: h is constant and c goes as (h/p)²
 * (F. T. Peirce 1937, c ≈ (9/16)(h/p)² for plain cloth), c' = c (p/p')², where p is the spacing of the threads crossed.
 * At most the yarn lost all that the cloth lost (no crimp gained); half of that is taken as the least, since relaxation
 * alone seldom gives more than half of what finishing takes (common practice).
 * @param lengthBefore, lengthAfter of the cloth along the yarn, any unit
 * @param takeUp of the yarn before finishing, share of the yarn's length
 */
export function fitShrinkage(lengthBefore: number, lengthAfter: number, takeUp: number): FittedShrinkage {
  if (!(lengthBefore > 0 && lengthAfter > 0)) {
    throw new RangeError(`lengths ${lengthBefore} and ${lengthAfter}: give both, above 0`);
  }
  if (!(takeUp >= 0 && takeUp < 1)) throw new RangeError(`take-up ${takeUp}: give a share from 0 to below 1`);
  const kept = lengthAfter / lengthBefore;
  const crimp = takeUp / (1 - takeUp);
  const crimpAfter = crimp / kept ** 2;
  const lost = 1 - kept;
  const value = 1 - (kept * (1 + crimpAfter)) / (1 + crimp);
  const [low, high] = lost >= 0 ? [lost / 2, lost] : [lost, lost / 2];
  return { value: Math.min(high, Math.max(low, value)), low, high };
}
