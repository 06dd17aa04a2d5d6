import fc from 'fast-check';
import type { Draft } from '#engine/draft/draftTypes.ts';
import { createDrawdown, type Drawdown, setWarpUp } from '#engine/draft/drawdown.ts';
import { MOST_SHAFTS, setsFromLists } from '#engine/draft/shaftSet.ts';

/** Random drawdowns of 1..most each way, every crossing free; sizes straddle the 32-bit words. */
export function arbitraryDrawdown(mostRows = 70, mostEnds = 70): fc.Arbitrary<Drawdown> {
  return fc.tuple(fc.integer({ min: 1, max: mostRows }), fc.integer({ min: 1, max: mostEnds })).chain(([rows, ends]) =>
    fc.array(fc.boolean(), { minLength: rows * ends, maxLength: rows * ends }).map((ups) => {
      const drawdown = createDrawdown(rows, ends);
      ups.forEach((up, k) => {
        if (up) setWarpUp(drawdown, Math.floor(k / ends), k % ends, true);
      });
      return drawdown;
    }),
  );
}

/** Random drafts on looms of 1..64 shafts; ends may be on no shaft. */
export function arbitraryDraft(mostEnds = 80, mostPicks = 60): fc.Arbitrary<Draft> {
  return fc.integer({ min: 1, max: MOST_SHAFTS }).chain((shafts) =>
    fc
      .tuple(
        fc.array(fc.integer({ min: 0, max: shafts }), { minLength: 1, maxLength: mostEnds }),
        fc.array(fc.uniqueArray(fc.integer({ min: 1, max: shafts }), { maxLength: shafts }), {
          minLength: 1,
          maxLength: mostPicks,
        }),
      )
      .map(([numbers, lifts]) => ({ shafts, threading: Uint8Array.from(numbers), liftPlan: setsFromLists(lifts) })),
  );
}
