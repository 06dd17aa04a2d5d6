import { bench, describe } from 'vitest';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { distinctEnds, distinctPicks } from '#engine/draft/distinct.ts';
import { draftFromDrawdown } from '#engine/draft/draftFromDrawdown.ts';

const ENDS = 4000;
const PICKS = 10_000;

/** xorshift32 (Marsaglia 2003), seeded so that every run measures the same drafts. */
function randomWords(count: number, seed: number): Uint32Array {
  const words = new Uint32Array(count);
  let x = seed;
  for (let i = 0; i < count; i++) {
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    words[i] = x;
  }
  return words;
}

function draft(shafts: number, distinctLifts: number) {
  const threading = Uint8Array.from(randomWords(ENDS, 1), (word) => (word % shafts) + 1);
  const low = shafts >= 32 ? 0xffffffff : 2 ** shafts - 1;
  const high = shafts > 32 ? 2 ** (shafts - 32) - 1 : 0;
  const lifts = randomWords(2 * distinctLifts, 2).map((word, k) => word & (k % 2 === 0 ? low : high));
  const liftPlan = new Uint32Array(2 * PICKS).map((_, k) => lifts[k % lifts.length]);
  return { threading, liftPlan };
}

describe(`drawdown of ${ENDS} ends × ${PICKS} picks, 40 million crossings a call`, () => {
  const twill = draft(4, 4);
  const dobby = draft(24, 400);
  const worst = draft(64, PICKS);
  bench('4 shafts, 4 lifts', () => {
    computeDrawdown(twill.threading, twill.liftPlan);
  });
  bench('24 shafts, 400 lifts', () => {
    computeDrawdown(dobby.threading, dobby.liftPlan);
  });
  bench('64 shafts, 10 000 lifts, no two alike', () => {
    computeDrawdown(worst.threading, worst.liftPlan);
  });
});

describe(`back to a draft from ${ENDS} ends × ${PICKS} picks`, () => {
  const { threading, liftPlan } = draft(64, PICKS);
  const drawdown = computeDrawdown(threading, liftPlan);
  bench('distinct picks', () => {
    distinctPicks(drawdown);
  });
  bench('distinct ends', () => {
    distinctEnds(drawdown);
  });
  bench('threading and lift plan on the fewest shafts', () => {
    draftFromDrawdown(drawdown);
  });
});
