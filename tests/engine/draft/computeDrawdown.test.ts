import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { computeDrawdown, computeTreadledDrawdown } from '#engine/draft/computeDrawdown.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { invertLifts, liftPlanFromShafts, tieUpFromLiftPlan, tieUpFromShafts } from '#engine/draft/liftPlan.ts';
import { hasMember, listMembers, setsFromLists } from '#engine/draft/shaftSet.ts';
import { complement, rowsFromDrawdown, sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import { arbitraryDraft } from '#tests/helpers/arbitraryDraft.ts';

const seed = 20261125;

describe('computeDrawdown', () => {
  it(`raises an end exactly where its shaft is lifted (random drafts up to 64 shafts, seed ${seed})`, () => {
    fc.assert(
      fc.property(arbitraryDraft(), ({ threading, liftPlan }) => {
        const drawdown = computeDrawdown(threading, liftPlan);
        expect(drawdown.rows).toBe(liftPlan.length / 2);
        expect(drawdown.ends).toBe(threading.length);
        for (let pick = 0; pick < drawdown.rows; pick++) {
          for (let end = 0; end < drawdown.ends; end++) {
            const lifted = hasMember(liftPlan, pick, threading[end]);
            if (isWarpUp(drawdown, pick, end) !== lifted) throw new Error(`pick ${pick + 1}, end ${end + 1}`);
          }
        }
      }),
      { seed, numRuns: 150 },
    );
  });

  it('leaves the bits beyond the last end 0', () => {
    const drawdown = computeDrawdown(new Uint8Array(37).fill(1), liftPlanFromShafts([[1]]));
    expect([...drawdown.bits]).toEqual([0xffffffff, 0b11111]);
  });

  it('keeps an end on no shaft down', () => {
    const drawdown = computeDrawdown(Uint8Array.of(1, 0, 2), liftPlanFromShafts([[1, 2], [1]]));
    expect(rowsFromDrawdown(drawdown)).toEqual([
      [1, 0, 1],
      [1, 0, 0],
    ]);
  });

  it('takes an empty warp and an empty plan', () => {
    expect(computeDrawdown(new Uint8Array(0), liftPlanFromShafts([[1]])).bits.length).toBe(0);
    expect(computeDrawdown(Uint8Array.of(1), liftPlanFromShafts([])).rows).toBe(0);
  });

  it('refuses an end above shaft 64 and names it', () => {
    expect(() => computeDrawdown(Uint8Array.of(1, 65), liftPlanFromShafts([[1]]))).toThrow(
      expect.objectContaining({ code: 'shaft-out-of-range', where: { part: 'end', at: 2 } }),
    );
  });

  it('weaves the complement under inverted lifts when every end is on a shaft', () => {
    const threading = Uint8Array.of(1, 2, 3, 4, 40, 64);
    const plan = liftPlanFromShafts([[1, 40], [2, 64], [], [1, 2, 3, 4, 40, 64]]);
    const inverted = computeDrawdown(threading, invertLifts(plan, 64));
    expect(sameDrawdown(inverted, complement(computeDrawdown(threading, plan)))).toBe(true);
  });
});

describe('tie-up and treadling', () => {
  it('unites the shafts of several treadles pressed at once', () => {
    const tieUp = tieUpFromShafts([[1], [2, 40], [3]], 40, 'rising');
    const drawdown = computeTreadledDrawdown(Uint8Array.of(1, 2, 3, 40), tieUp, setsFromLists([[1, 2], [3], []]));
    expect(rowsFromDrawdown(drawdown)).toEqual([
      [1, 1, 0, 1],
      [0, 0, 1, 0],
      [0, 0, 0, 0],
    ]);
  });

  it('makes the complement of the rising shed on a sinking loom, and stays open with no treadle pressed', () => {
    const threading = Uint8Array.of(1, 2, 3, 4);
    const ties = [
      [1, 2],
      [2, 3],
    ];
    const treadling = setsFromLists([[1], [2], [1, 2], []]);
    const rising = computeTreadledDrawdown(threading, tieUpFromShafts(ties, 4, 'rising'), treadling);
    const sinking = computeTreadledDrawdown(threading, tieUpFromShafts(ties, 4, 'sinking'), treadling);
    expect(sameDrawdown(sinking, complement(rising))).toBe(true);
    expect(rowsFromDrawdown(sinking)[3]).toEqual([1, 1, 1, 1]);
  });

  it(`finds a tie-up that weaves any plan of few lifts, rising and sinking (seed ${seed})`, () => {
    fc.assert(
      fc.property(arbitraryDraft(40, 40), fc.constantFrom('rising' as const, 'sinking' as const), (draft, shed) => {
        const { tieUp, treadling } = tieUpFromLiftPlan(draft.liftPlan, draft.shafts, shed);
        const woven = computeTreadledDrawdown(draft.threading, tieUp, treadling);
        expect(sameDrawdown(woven, computeDrawdown(draft.threading, draft.liftPlan))).toBe(true);
      }),
      { seed, numRuns: 100 },
    );
  });

  it('names the pick that needs one treadle too many', () => {
    const plan = liftPlanFromShafts([[1], [2], [1], [3]]);
    expect(() => tieUpFromLiftPlan(plan, 4, 'rising', 2)).toThrow(
      expect.objectContaining({ code: 'too-many-treadles', where: { part: 'pick', at: 4 } }),
    );
    expect(listMembers(tieUpFromLiftPlan(plan, 4).treadling, 2)).toEqual([1]);
  });

  it('refuses a treadle or a tied shaft that is not there, with its place', () => {
    const tieUp = tieUpFromShafts([[1], [2]], 4, 'rising');
    expect(() => computeTreadledDrawdown(Uint8Array.of(1), tieUp, setsFromLists([[1], [3]]))).toThrow(
      expect.objectContaining({ code: 'treadle-out-of-range', where: { part: 'pick', at: 2 } }),
    );
    expect(() => tieUpFromShafts([[1], [5]], 4, 'rising')).toThrow(
      expect.objectContaining({ code: 'shaft-out-of-range', where: { part: 'treadle', at: 2 } }),
    );
    expect(() => invertLifts(liftPlanFromShafts([[1], [1, 8]]), 4)).toThrow(DraftError);
  });
});
