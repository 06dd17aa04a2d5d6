import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { computeDrawdown, computeTreadledDrawdown } from '#engine/draft/computeDrawdown.ts';
import type { TieUp } from '#engine/draft/draftTypes.ts';
import { createDrawdown, type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { complement, reversePicks, sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import { satin, twill } from '#engine/weave/basicWeaves.ts';
import { weaveFaceDown } from '#engine/weave/fit/faceDown.ts';
import { fitToThreading } from '#engine/weave/fit/fitThreading.ts';
import { fitToTieUp } from '#engine/weave/fit/fitTieUp.ts';
import { smallerTieUp } from '#engine/weave/fit/smallerTieUp.ts';
import { caseById } from '#tests/reference/cases.ts';

/** A drawdown whose rows are numbers, end 1 in bit 0. */
function fromRows(rows: readonly number[], ends: number): Drawdown {
  const drawdown = createDrawdown(rows.length, ends);
  drawdown.bits.set(rows);
  return drawdown;
}

/** Crossings at which two rows of one word differ, one by one. */
function differing(a: number, b: number, ends: number): number {
  let count = 0;
  for (let end = 0; end < ends; end++) if (((a >>> end) & 1) !== ((b >>> end) & 1)) count++;
  return count;
}

/** A row of the cloth where these shafts are up, end by end. */
function rowOf(threading: readonly number[], up: (shaft: number) => boolean): number {
  return threading.reduce((row, shaft, end) => (shaft > 0 && up(shaft) ? row | (1 << end) : row), 0);
}

/** Threadings of n ends on at most n shafts, 0 among them. */
const threadings = (ends: number) => fc.array(fc.integer({ min: 0, max: ends }), { minLength: ends, maxLength: ends });
const sizes = fc.tuple(fc.integer({ min: 1, max: 6 }), fc.integer({ min: 1, max: 6 }));

describe('nearest cloth on a fixed threading, against every lift there is', () => {
  it('every row of up to 6 ends on every threading of them (all 6 x 6 cases, since picks do not touch each other)', () => {
    // A pick's changes depend on its own row alone, so all cases up to 6 x 6 are made of these rows. Shafts are interchangeable:
    // threadings numbered in order of first use stand for all.
    const inOrder = (ends: number, used = 0): number[][] =>
      ends === 0
        ? [[]]
        : Array.from({ length: used + 2 }, (_, shaft) => shaft).flatMap((shaft) =>
            inOrder(ends - 1, Math.max(used, shaft)).map((rest) => [shaft, ...rest]),
          );
    let cases = 0;
    for (let ends = 1; ends <= 6; ends++) {
      const rows = Array.from({ length: 2 ** ends }, (_, row) => row);
      const drawdown = fromRows(rows, ends);
      for (const threading of inOrder(ends)) {
        const shafts = Math.max(1, ...threading);
        const made = Array.from({ length: 2 ** shafts }, (_, lift) =>
          rowOf(threading, (shaft) => ((lift >>> (shaft - 1)) & 1) === 1),
        );
        const fit = fitToThreading(drawdown, Uint8Array.from(threading), shafts);
        for (const row of rows) {
          const least = Math.min(...made.map((each) => differing(each, row, ends)));
          if (fit.changedPerPick[row] !== least || differing(fit.woven.bits[row], row, ends) !== least) {
            expect.fail(`threading ${threading}, row ${row}: ${fit.changedPerPick[row]} for ${least}`);
          }
          cases++;
        }
      }
    }
    expect(cases).toBeGreaterThan(50_000);
  });

  it('counts the changed crossings of ends and picks, over words and above shaft 32 (seed 41)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 64 }), { minLength: 30, maxLength: 70 }),
        fc.array(fc.array(fc.boolean(), { minLength: 70, maxLength: 70 }), { minLength: 1, maxLength: 8 }),
        (threading, marks) => {
          const drawdown = createDrawdown(marks.length, threading.length);
          marks.forEach((row, pick) => {
            threading.forEach((_, end) => {
              if (row[end]) drawdown.bits[pick * drawdown.wordsPerRow + (end >>> 5)] |= 1 << (end & 31);
            });
          });
          const fit = fitToThreading(drawdown, Uint8Array.from(threading), 64);
          const perEnd = threading.map((_, end) =>
            marks.reduce((sum, row, pick) => sum + (row[end] === isWarpUp(fit.woven, pick, end) ? 0 : 1), 0),
          );
          expect([...fit.changedPerEnd]).toEqual(perEnd);
          // Of each shaft at most half of the ends are changed, as the majority has it.
          marks.forEach((row, pick) => {
            for (let shaft = 1; shaft <= 64; shaft++) {
              const ends = threading.flatMap((each, end) => (each === shaft ? [end] : []));
              const changed = ends.filter((end) => row[end] !== isWarpUp(fit.woven, pick, end)).length;
              expect(2 * changed).toBeLessThanOrEqual(ends.length);
            }
          });
        },
      ),
      { seed: 41, numRuns: 60 },
    );
  });

  it('changes nothing where the threading weaves it, and says what stands in the way of a satin on four shafts', () => {
    const twill22 = twill([2, 2]);
    const straight = fitToThreading(twill22, Uint8Array.of(1, 2, 3, 4), 4);
    expect([straight.changed, sameDrawdown(straight.woven, twill22)]).toEqual([0, true]);
    // Eight ends that all move differently on 1–4 twice: of each pair one wants up, the other down; the stitch is lost.
    const eight = fitToThreading(satin(8, 3, 'weft'), Uint8Array.of(1, 2, 3, 4, 1, 2, 3, 4), 4);
    expect([eight.changed, ...eight.changedPerPick]).toEqual([8, 1, 1, 1, 1, 1, 1, 1, 1]);
  });
});

describe('nearest cloth on a fixed tie-up, against every set of treadles', () => {
  const least = (
    threading: readonly number[],
    ties: readonly number[][],
    rising: boolean,
    row: number,
    one: boolean,
  ) => {
    let best = Number.POSITIVE_INFINITY;
    for (let set = 0; set < 2 ** ties.length; set++) {
      const pressed = ties.filter((_, k) => (set >>> k) & 1);
      if (one && pressed.length > 1) continue;
      const moved = new Set(pressed.flat());
      best = Math.min(
        best,
        differing(
          rowOf(threading, (shaft) => moved.has(shaft) === rising),
          row,
          threading.length,
        ),
      );
    }
    return best;
  };

  it.each(['one', 'any'] as const)('%s at once, random drafts up to 6 x 6 (seed 42)', (treadlesAtOnce) => {
    fc.assert(
      fc.property(
        sizes.chain(([picks, ends]) =>
          fc.tuple(
            threadings(ends),
            fc.array(fc.integer({ min: 0, max: 2 ** ends - 1 }), { minLength: picks, maxLength: picks }),
            fc.array(fc.uniqueArray(fc.integer({ min: 1, max: ends })), { minLength: 1, maxLength: 6 }),
            fc.boolean(),
          ),
        ),
        ([threading, rows, ties, rising]) => {
          const ends = threading.length;
          const tieUp: TieUp = {
            shafts: ends,
            shed: rising ? 'rising' : 'sinking',
            treadles: setsFromLists(ties, ends, 'shaft', 'treadle'),
          };
          const fit = fitToTieUp(fromRows(rows, ends), Uint8Array.from(threading), tieUp, { treadlesAtOnce });
          const wanted = rows.map((row) => least(threading, ties, rising, row, treadlesAtOnce === 'one'));
          expect([...fit.changedPerPick]).toEqual(wanted);
          expect(fit.leastChanged).toBe(fit.changed);
          const woven = computeTreadledDrawdown(Uint8Array.from(threading), tieUp, fit.treadling);
          expect(sameDrawdown(woven, fit.woven)).toBe(true);
        },
      ),
      { seed: 42, numRuns: 3000 },
    );
  });

  it('above 12 treadles finds as good a cloth in time, and bounds what it does not (seed 43)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 16 }), { minLength: 24, maxLength: 24 }),
        fc.array(fc.integer({ min: 0, max: 2 ** 24 - 1 }), { minLength: 2, maxLength: 4 }),
        fc.array(fc.uniqueArray(fc.integer({ min: 1, max: 16 }), { minLength: 1, maxLength: 6 }), {
          minLength: 13,
          maxLength: 13,
        }),
        (threading, rows, ties) => {
          const tieUp: TieUp = { shafts: 16, shed: 'rising', treadles: setsFromLists(ties, 16, 'shaft', 'treadle') };
          const drawdown = fromRows(rows, 24);
          const all = rows.reduce((sum, row) => sum + least(threading, ties, true, row, false), 0);
          const whole = fitToTieUp(drawdown, Uint8Array.from(threading), tieUp, {
            treadlesAtOnce: 'any',
            withinMs: 60_000,
          });
          expect([whole.changed, whole.leastChanged]).toEqual([all, all]);
          const hurried = fitToTieUp(drawdown, Uint8Array.from(threading), tieUp, {
            treadlesAtOnce: 'any',
            withinMs: 0,
          });
          expect(hurried.leastChanged).toBeLessThanOrEqual(all);
          expect(hurried.changed).toBeGreaterThanOrEqual(all);
        },
      ),
      { seed: 43, numRuns: 12 },
    );
  });
});

describe('a smaller tie-up', () => {
  it('presses together what makes the lifts, no more treadles than lifts and no fewer than its bound (seed 44)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.uniqueArray(fc.integer({ min: 1, max: 4 })), { minLength: 1, maxLength: 8 }),
        fc.integer({ min: 1, max: 3 }),
        fc.constantFrom('rising' as const, 'sinking' as const),
        (lists, pressedAtOnce, shed) => {
          const liftPlan = setsFromLists(lists, 4);
          const threading = Uint8Array.of(1, 2, 3, 4);
          const found = smallerTieUp(liftPlan, 4, { shed, pressedAtOnce });
          const woven = computeTreadledDrawdown(threading, found.tieUp, found.treadling);
          expect(sameDrawdown(woven, computeDrawdown(threading, liftPlan))).toBe(true);
          const treadles = found.tieUp.treadles.length / 2;
          for (let pick = 0; pick < lists.length; pick++) {
            expect(differing(found.treadling[2 * pick], 0, 32)).toBeLessThanOrEqual(pressedAtOnce);
          }
          // The true fewest, by trying every choice of so many treadles out of the 15 that four shafts allow.
          const wanted = [...new Set(Array.from(woven.bits, (word) => (shed === 'rising' ? word : ~word & 15)))].filter(
            Boolean,
          );
          const makes = (ties: readonly number[]) => {
            let made = new Set([0]);
            for (let k = 0; k < pressedAtOnce; k++)
              made = new Set([...made].flatMap((lift) => [lift, ...ties.map((tie) => lift | tie)]));
            return wanted.every((lift) => made.has(lift));
          };
          const choose = (left: number, from: number, ties: readonly number[]): boolean =>
            left === 0
              ? makes(ties)
              : Array.from({ length: 16 - from }, (_, k) => from + k).some((tie) =>
                  choose(left - 1, tie + 1, [...ties, tie]),
                );
          let fewest = 0;
          while (!choose(fewest, 1, [])) fewest++;
          expect(found.fewest).toBeLessThanOrEqual(fewest);
          expect(treadles).toBeGreaterThanOrEqual(fewest);
          expect(treadles).toBeLessThanOrEqual(wanted.length);
        },
      ),
      { seed: 44, numRuns: 150 },
    );
  });

  it('presses overshot’s pattern sheds and tabbies (SD-15) together from single shafts', () => {
    const { expected } = caseById<unknown, { pattern_sheds: number[][]; tabbies: number[][] }>('textile', 'SD-15');
    const sheds = [...expected.pattern_sheds, ...expected.tabbies];
    const found = smallerTieUp(setsFromLists([...sheds, [1], [2], [3], [4]], 4), 4);
    // Single shafts make every pair of shafts with two feet, so that four treadles do, and no fewer could.
    expect([found.tieUp.treadles.length / 2, found.fewest]).toEqual([4, 4]);
    expect(smallerTieUp(setsFromLists(sheds, 4), 4).tieUp.treadles.length / 2).toBeLessThanOrEqual(6);
  });
});

describe('woven face down', () => {
  it('opposite lifts, last pick first, turned over the top edge are the face as drawn', () => {
    const threading = Uint8Array.of(1, 2, 3, 4, 3, 2, 1, 1);
    const liftPlan = setsFromLists([[1], [1, 2], [3], [2, 4], [4]], 4);
    const face = computeDrawdown(threading, liftPlan);
    const turned = weaveFaceDown(face, liftPlan, threading, 4);
    const onLoom = computeDrawdown(threading, turned.liftPlan);
    expect(sameDrawdown(complement(reversePicks(onLoom)), face)).toBe(true);
    expect(turned.sameMirrored).toBe(false);
  });

  it('a warp-faced satin lifts seven shafts of eight face up and one face down', () => {
    const drawdown = satin(8, 3, 'warp');
    const threading = Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8);
    const { liftPlan } = fitToThreading(drawdown, threading, 16);
    const { faceUp, faceDown, lighter } = weaveFaceDown(drawdown, liftPlan, threading, 16);
    expect([faceUp.mean, faceUp.most, faceDown.mean, faceDown.most, lighter]).toEqual([7, 7, 1, 1, 'faceDown']);
  });
});
