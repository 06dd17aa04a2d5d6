import { bench, describe } from 'vitest';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { createDrawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { checkCloth } from '#engine/weave/checks/checkCloth.ts';
import { doublePlain } from '#engine/weave/compoundWeaves.ts';
import { fitToThreading } from '#engine/weave/fit/fitThreading.ts';
import { fitToTieUp } from '#engine/weave/fit/fitTieUp.ts';
import { checkedPiece } from '#tests/helpers/checkedPiece.ts';
import { plainChecks } from '#tests/helpers/plainChecks.ts';
import { PRACTICE_ROUNDS, practise } from '#workers/practice.ts';

const ENDS = 4000;
const PICKS = 2000;
const SHAFTS = 24;

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

const threading = Uint8Array.from(words(ENDS, 1), (word) => (word % SHAFTS) + 1);
const lifts = words(2 * PICKS, 2).map((word, k) => (k % 2 === 0 ? word & (2 ** SHAFTS - 1) : 0));
const woven = computeDrawdown(threading, lifts);
/** No shaft is asked for in one piece: one crossing in eight is turned. */
const asked = createDrawdown(PICKS, ENDS);
const flips = words(3 * woven.bits.length, 3);
woven.bits.forEach((word, k) => {
  asked.bits[k] = word ^ (flips[3 * k] & flips[3 * k + 1] & flips[3 * k + 2]);
});

describe(`loom fit, ${SHAFTS} shafts, ${ENDS} ends × ${PICKS} picks`, () => {
  bench('to the threading', () => {
    fitToThreading(asked, threading, SHAFTS);
  });
  const ties = (treadles: number) =>
    setsFromLists(
      Array.from({ length: treadles }, (_, k) => [1, 5, 11, 16].map((step) => ((k * 7 + step * (k + 1)) % SHAFTS) + 1)),
      SHAFTS,
      'shaft',
      'treadle',
    );
  for (const treadles of [12, 20]) {
    bench(`to ${treadles} treadles, any at once`, () => {
      fitToTieUp(
        asked,
        threading,
        { shafts: SHAFTS, shed: 'rising', treadles: ties(treadles) },
        { treadlesAtOnce: 'any' },
      );
    });
  }
  bench('to the threading, crossing by crossing', () => {
    const up = new Uint16Array(PICKS * SHAFTS);
    const all = new Uint16Array(SHAFTS);
    for (const shaft of threading) all[shaft - 1]++;
    for (let pick = 0; pick < PICKS; pick++) {
      for (let end = 0; end < ENDS; end++) if (isWarpUp(asked, pick, end)) up[pick * SHAFTS + threading[end] - 1]++;
    }
    let changed = 0;
    for (let pick = 0; pick < PICKS; pick++) {
      for (let end = 0; end < ENDS; end++) {
        const shaft = threading[end] - 1;
        if (2 * up[pick * SHAFTS + shaft] > all[shaft] !== isWarpUp(asked, pick, end)) changed++;
      }
    }
    if (changed === 0) throw new Error('The cloth asked for can be woven, so nothing was measured.');
  });
});

/** As the page's worker does it before it is asked; a first run without it takes two to three times as long. */
for (let round = 0; round < PRACTICE_ROUNDS; round++) practise();

const LIMIT_MM = 3;
const cloths = {
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

describe.each(Object.entries(cloths))(`all checks of %s, ${ENDS} ends × ${PICKS} picks`, (_, cloth) => {
  const few = { time: 0, warmupTime: 0, warmupIterations: 0, iterations: 4 };
  const once = { time: 0, warmupTime: 0, warmupIterations: 0, iterations: 1 };
  bench(
    'a word of crossings at a time',
    () => {
      checkCloth(cloth, LIMIT_MM);
    },
    few,
  );
  bench(
    'an array of booleans',
    () => {
      plainChecks(cloth, LIMIT_MM);
    },
    once,
  );
});
