import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { createDrawdown } from '#engine/draft/drawdown.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { doublePlain } from '#engine/weave/compoundWeaves.ts';
import { checkedPiece } from './checkedPiece.ts';

export const ENDS = 4000;
export const PICKS = 2000;
export const SHAFTS = 24;

/** xorshift32 (Marsaglia 2003), seeded so that every run measures the same cloth. */
function words(count: number, seed: number): Uint32Array {
  const made = new Uint32Array(count);
  let x = seed;
  for (let i = 0; i < count; i++) {
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    made[i] = x;
  }
  return made;
}

export const threading = Uint8Array.from(words(ENDS, 1), (word) => (word % SHAFTS) + 1);
const lifts = words(2 * PICKS, 2).map((word, k) => (k % 2 === 0 ? word & (2 ** SHAFTS - 1) : 0));
const woven = computeDrawdown(threading, lifts);
/** No shaft is asked for in one piece: one crossing in eight is turned. */
export const asked = createDrawdown(PICKS, ENDS);
const flips = words(3 * woven.bits.length, 3);
woven.bits.forEach((word, k) => {
  asked.bits[k] = word ^ (flips[3 * k] & flips[3 * k + 1] & flips[3 * k + 2]);
});

/** Floats are held to this, mm. */
export const LIMIT_MM = 3;
/** A dobby design with no two lifts alike, and two layers that change places in blocks. */
export const cloths = {
  'a dobby design': checkedPiece(woven, PICKS, ENDS),
  'pockets of double plain': checkedPiece(
    blockDrawdown(
      [
        [0, 1],
        [1, 0],
      ],
      [doublePlain(['face', 'back'], ['face', 'back']), doublePlain(['back', 'face'], ['back', 'face'])],
      64,
      40,
    ),
    PICKS,
    ENDS,
  ),
};
