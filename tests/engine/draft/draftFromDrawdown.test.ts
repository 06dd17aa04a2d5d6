import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { distinctEnds, distinctPicks } from '#engine/draft/distinct.ts';
import { draftFromDrawdown, liftPlanForThreading } from '#engine/draft/draftFromDrawdown.ts';
import { createDrawdown, drawdownFromRows, setWarpUp } from '#engine/draft/drawdown.ts';
import { smallestPeriod, smallestRepeat, smallestWholePeriod } from '#engine/draft/repeats.ts';
import { rowsFromDrawdown, sameDrawdown, tile } from '#engine/draft/transformDrawdown.ts';
import { arbitraryDraft, arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';

const seed = 733;
const run = { seed, numRuns: 120 };

describe(`distinct lines (seed ${seed})`, () => {
  it('puts two picks, or two ends, in one class exactly when they are alike', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(40, 5), (d) => {
        const rows = rowsFromDrawdown(d);
        const texts = rows.map((row) => row.join(''));
        const { classOf, firstOf } = distinctPicks(d);
        expect(firstOf.length).toBe(new Set(texts).size);
        texts.forEach((text, row) => {
          expect(texts[firstOf[classOf[row]]]).toBe(text);
          expect(firstOf[classOf[row]]).toBe(texts.indexOf(text));
        });
        const columns = rows[0].map((_, end) => rows.map((row) => row[end]).join(''));
        expect(distinctEnds(d).firstOf.length).toBe(new Set(columns).size);
      }),
      run,
    );
  });
});

describe(`draft -> drawdown -> draft (seed ${seed})`, () => {
  it('weaves the same cloth on as few shafts as there are distinct ends', () => {
    fc.assert(
      fc.property(arbitraryDraft(), (draft) => {
        const drawdown = computeDrawdown(draft.threading, draft.liftPlan);
        const found = draftFromDrawdown(drawdown);
        expect(sameDrawdown(computeDrawdown(found.threading, found.liftPlan), drawdown)).toBe(true);
        const rows = rowsFromDrawdown(drawdown);
        const columns = new Set(rows[0].map((_, end) => rows.map((row) => row[end]).join('')));
        expect(found.shafts).toBe(columns.size);
        // Shafts are numbered as they are first met.
        let highest = 0;
        for (const shaft of found.threading) {
          expect(shaft).toBeLessThanOrEqual(highest + 1);
          highest = Math.max(highest, shaft);
        }
      }),
      run,
    );
  });

  it('finds a plan again for the threading the cloth was woven on', () => {
    fc.assert(
      fc.property(arbitraryDraft(), ({ threading, liftPlan }) => {
        const drawdown = computeDrawdown(threading, liftPlan);
        const plan = liftPlanForThreading(drawdown, threading);
        expect(sameDrawdown(computeDrawdown(threading, plan), drawdown)).toBe(true);
      }),
      run,
    );
  });

  it('fails at the first end that needs a shaft too many', () => {
    const d = createDrawdown(65, 66);
    for (let k = 0; k < 65; k++) setWarpUp(d, k, k, true);
    expect(() => draftFromDrawdown(d)).toThrow(
      expect.objectContaining({ code: 'too-many-shafts', where: { part: 'end', at: 65 } }),
    );
    expect(() => draftFromDrawdown(d)).toThrow(/66 ends that move differently/);
  });

  it('says which end of a fixed warp cannot do it, and from which pick', () => {
    const design = drawdownFromRows([
      [1, 0, 1, 0],
      [0, 1, 1, 1],
    ]);
    expect(() => liftPlanForThreading(design, Uint8Array.of(1, 2, 1, 2))).toThrow(
      expect.objectContaining({ code: 'shaft-shared', where: { part: 'end', at: 3 } }),
    );
    expect(() => liftPlanForThreading(design, Uint8Array.of(1, 2, 1, 2))).toThrow(/first at pick 2/);
    expect(() => liftPlanForThreading(design, Uint8Array.of(1, 0, 3, 2))).toThrow(/End 2 is on no shaft.*pick 2/);
    expect(() => liftPlanForThreading(design, Uint8Array.of(1, 2, 3))).toThrow(
      expect.objectContaining({ code: 'lengths-differ', where: { part: 'end', at: 4 } }),
    );
  });
});

describe(`repeats (seed ${seed})`, () => {
  it('are the smallest that hold', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 1 }), { minLength: 1, maxLength: 24 }), (sequence) => {
        const holds = (p: number) =>
          sequence.every((value, i) => i + p >= sequence.length || sequence[i + p] === value);
        const all = Array.from({ length: sequence.length }, (_, k) => k + 1);
        expect(smallestPeriod(sequence)).toBe(all.find(holds));
        expect(smallestWholePeriod(sequence)).toBe(all.find((p) => holds(p) && sequence.length % p === 0));
      }),
      { seed, numRuns: 400 },
    );
  });

  it('of a tiled cloth are no larger than the tile, and tile it back', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(9, 9), (d) => {
        const big = tile(d, d.rows * 3, d.ends * 4);
        const repeat = smallestRepeat(big, true);
        expect(d.rows % repeat.rows).toBe(0);
        expect(d.ends % repeat.ends).toBe(0);
        expect(sameDrawdown(tile(tile(big, repeat.rows, repeat.ends), big.rows, big.ends), big)).toBe(true);
      }),
      run,
    );
  });

  it('see through a repeat cut short', () => {
    const twill = drawdownFromRows([
      [1, 1, 0, 0],
      [0, 1, 1, 0],
      [0, 0, 1, 1],
      [1, 0, 0, 1],
    ]);
    expect(smallestRepeat(tile(twill, 10, 14))).toEqual({ rows: 4, ends: 4 });
    expect(smallestRepeat(tile(twill, 10, 14), true)).toEqual({ rows: 10, ends: 14 });
  });
});
