import { bench, describe } from 'vitest';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { checkCloth } from '#engine/weave/checks/checkCloth.ts';
import { fitToThreading } from '#engine/weave/fit/fitThreading.ts';
import { fitToTieUp } from '#engine/weave/fit/fitTieUp.ts';
import { asked, cloths, ENDS, LIMIT_MM, PICKS, SHAFTS, threading } from '#tests/helpers/checkBenchCloths.ts';
import { plainChecks } from '#tests/helpers/plainChecks.ts';
import { PRACTICE_ROUNDS, practise } from '#workers/practice.ts';

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
