import { hashNormal } from '#engine/units/hash.ts';
import type { Newtons } from '#engine/units/units.ts';

/** Its own series of the seed, so that ends and picks are uneven apart from each other. */
const SALT = 0x5eed0001;
/** No end of a warp that weaves hangs slacker or stands tighter than so many times the mean. */
const LEAST = 0.3;
const MOST = 1.7;

/**
 * Tension of each end, N: normal about the mean with this coefficient of variation, by seed and number of the end, so
 * that an end keeps its tension while the sample changes. Between ends of one beam 5 to 15 % is usual (common practice).
 */
export function spreadTension(ends: number, meanN: Newtons, share: number, seed: number): Float64Array {
  const tension = new Float64Array(ends).fill(meanN);
  if (!(share > 0)) return tension;
  return tension.map((mean, end) => mean * Math.min(MOST, Math.max(LEAST, 1 + share * hashNormal(seed ^ SALT, end))));
}
