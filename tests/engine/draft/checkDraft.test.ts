import { describe, expect, it } from 'vitest';
import { checkDraft, checkSameLength, checkShafts, threadingFromShafts } from '#engine/draft/checkDraft.ts';
import { remarksOnDraft } from '#engine/draft/draftRemarks.ts';
import { liftPlanFromShafts, tieUpFromShafts } from '#engine/draft/liftPlan.ts';
import { setsFromLists } from '#engine/draft/shaftSet.ts';

describe('what cannot be', () => {
  it('is refused with the end, the pick, or the loom that is wrong', () => {
    expect(() => threadingFromShafts([1, 2, 9], 8)).toThrow(
      expect.objectContaining({ code: 'shaft-out-of-range', where: { part: 'end', at: 3 } }),
    );
    expect(() => threadingFromShafts([1, 2.5], 8)).toThrow(/End 2/);
    expect(() => liftPlanFromShafts([[1], [], [4, 9]], 8)).toThrow(
      expect.objectContaining({ code: 'shaft-out-of-range', where: { part: 'pick', at: 3 } }),
    );
    const draft = { shafts: 4, threading: Uint8Array.of(1, 2), liftPlan: liftPlanFromShafts([[1], [40]]) };
    expect(() => checkDraft(draft)).toThrow(/Pick 2 lifts shaft 40; there are shafts 1 to 4/);
    expect(() => checkShafts(65)).toThrow(expect.objectContaining({ code: 'too-many-shafts' }));
    expect(() =>
      checkSameLength({ what: 'threading', length: 320 }, { what: 'colour order', length: 318 }, 'end'),
    ).toThrow(expect.objectContaining({ code: 'lengths-differ', where: { part: 'end', at: 319 } }));
    expect(() => checkSameLength({ what: 'a', length: 3 }, { what: 'b', length: 3 }, 'end')).not.toThrow();
  });
});

describe('what is legal but odd', () => {
  it('is named with all its places', () => {
    const remarks = remarksOnDraft({
      shafts: 5,
      threading: Uint8Array.of(1, 2, 3, 1),
      liftPlan: liftPlanFromShafts([[1], [], [1, 2, 3], [4], [5, 2]]),
    });
    const at = Object.fromEntries(remarks.map((remark) => [remark.code, remark.at]));
    expect(at).toEqual({
      'no-end-lifted': [2, 4],
      'every-end-lifted': [3],
      'empty-shaft-lifted': [4, 5],
    });
    expect(remarks.find((remark) => remark.code === 'no-end-lifted')?.message).toMatch(
      /^Picks 2, 4: each lifts no end/,
    );
  });

  it('names places that follow one another by the first and the last of them', () => {
    const liftPlan = liftPlanFromShafts(Array.from({ length: 30 }, (_, pick) => (pick === 20 ? [1] : [1, 3])));
    // Shafts above the last one drawn on are spare, as on most looms; those left out below it are told.
    const remarks = remarksOnDraft({ shafts: 8, threading: Uint8Array.of(1, 2, 6), liftPlan });
    const told = Object.fromEntries(remarks.map(({ code, message }) => [code, message]));
    expect(told['unused-shaft']).toBe('Shafts 3–5: each carries no end, between others that do.');
    expect(told['empty-shaft-lifted']).toBe('Picks 1–20, 22–30: each lifts a shaft that carries no end.');
  });

  it('covers ends on no shaft, shafts that never change side, and treadles', () => {
    const tieUp = tieUpFromShafts([[1], [], [1, 3]], 3, 'rising');
    const treadling = setsFromLists([[1], [2, 3]]);
    const remarks = remarksOnDraft(
      { shafts: 3, threading: Uint8Array.of(1, 0, 2, 3), liftPlan: liftPlanFromShafts([[1], [1, 3]]) },
      { tieUp, treadling },
    );
    const at = Object.fromEntries(remarks.map((remark) => [remark.code, remark.at]));
    expect(at).toEqual({
      'end-on-no-shaft': [2],
      'unmoved-shaft': [1, 2],
      'untied-treadle': [2],
    });
    expect(remarks[0].message).toBe('End 2 is on no shaft: nothing lifts it, so it floats on the back.');
  });

  // Common practice: a loom has more shafts and treadles than a cloth needs, and its tie-up may stay from the last one.
  it('is silent about shafts and treadles to spare', () => {
    const tieUp = tieUpFromShafts([[1, 3, 5], [2, 4], [], [6]], 6, 'rising');
    const treadling = setsFromLists([[1], [2]]);
    const liftPlan = liftPlanFromShafts([
      [1, 3, 5],
      [2, 4],
    ]);
    const draft = { shafts: 6, threading: Uint8Array.of(1, 2, 3, 4), liftPlan };
    expect(remarksOnDraft(draft, { tieUp, treadling })).toEqual([]);
    expect(remarksOnDraft(draft).map(({ code }) => code)).toEqual(['empty-shaft-lifted']);
  });

  it('is silent about an ordinary draft', () => {
    const liftPlan = liftPlanFromShafts([
      [1, 2],
      [2, 3],
      [3, 4],
      [1, 4],
    ]);
    expect(remarksOnDraft({ shafts: 4, threading: Uint8Array.of(1, 2, 3, 4), liftPlan })).toEqual([]);
  });
});
