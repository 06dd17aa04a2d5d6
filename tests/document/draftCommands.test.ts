import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Command } from '#document/commands/command.ts';
import {
  markLifts,
  markThreading,
  rearrangeEnds,
  rearrangePicks,
  weaveFitted,
} from '#document/commands/draftCommands.ts';
import { fitDrawdown } from '#document/fitDrawdown.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { readWarp, toClothProblem } from '#document/toClothProblem.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { alternatedOrder, cellsOfLine, mirroredOrder, slidOrder } from '#engine/draft/rearrange.ts';
import { rowsFromDrawdown, tile } from '#engine/draft/transformDrawdown.ts';
import { smallSample } from './smallSample.ts';

function carriedOut(command: Command, sample: Sample = smallSample()): Sample {
  const store = createSampleStore(sample);
  const refusal = store.dispatch(command);
  if (refusal) throw new Error(refusal.message);
  return store.state.getState().sample;
}

function refused(command: Command, sample: Sample = smallSample()): string {
  return createSampleStore(sample).dispatch(command)?.message ?? 'done';
}

const loose = (sample = smallSample()): Sample => ({ ...sample, versions: [], warp: { ...sample.warp, fixed: false } });
const fixed = (): Sample => ({ ...loose(), warp: { ...smallSample().warp, fixed: true } });
const lifts = (sample: Sample) => sample.picks.map(({ lift }) => lift);

describe('marks on the draft', () => {
  it('raise and lower shafts at each pick by itself', () => {
    const before = lifts(smallSample());
    const marked = lifts(
      carriedOut(
        markLifts({
          marks: [
            { at: 2, member: 8 },
            { at: 4, member: 7 },
          ],
          on: true,
        }),
      ),
    );
    expect(marked[1]).toEqual([...new Set([...before[1], 8])].sort());
    expect(marked[3]).toEqual([...new Set([...before[3], 7])].sort());
    expect(marked[2]).toEqual(before[2]);
    const cleared = lifts(carriedOut(markLifts({ marks: [{ at: 2, member: before[1][0] }], on: false })));
    expect(cleared[1]).toEqual(before[1].slice(1));
    expect(refused(markLifts({ marks: [{ at: 2, member: 9 }], on: true }))).toMatch(/no shaft 9 at pick 2.*shafts 1–8/);
  });

  it('alone take the place of what was lifted at their picks, and leave other picks as they were', () => {
    const before = lifts(smallSample());
    const marks = [
      { at: 2, member: 3 },
      { at: 3, member: 4 },
      { at: 3, member: 5 },
    ];
    const marked = lifts(carriedOut(markLifts({ marks, on: true, alone: true })));
    expect(marked).toEqual([before[0], [3], [4, 5], ...before.slice(3)]);
  });

  it('thread ends where the warp is not on a loom, and are refused where it is', () => {
    const command = markThreading({ marks: [{ at: 3, member: 8 }], on: true });
    expect(readWarp(carriedOut(command, loose()).warp).threading[2]).toBe(8);
    expect(refused(command, fixed())).toMatch(/is on the loom and cannot change/);
  });
});

describe('orders of picks and ends', () => {
  it('mirroring twice is nothing; sliding round by the whole is nothing (seed 3)', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 0, max: 11 }), (first, more) => {
        const picks = { from: first, to: Math.min(12, first + more) };
        const sample = smallSample();
        const once = carriedOut(rearrangePicks({ picks, how: 'mirror' }), sample);
        expect(lifts(carriedOut(rearrangePicks({ picks, how: 'mirror' }), once))).toEqual(lifts(sample));
        const by = picks.to - picks.from + 1;
        expect(lifts(carriedOut(rearrangePicks({ picks, how: 'slide', by }), sample))).toEqual(lifts(sample));
      }),
      { seed: 3, numRuns: 30 },
    );
  });

  it('lay two drafts one and one', () => {
    expect([...alternatedOrder(6)]).toEqual([0, 3, 1, 4, 2, 5]);
    expect([...alternatedOrder(5)]).toEqual([0, 3, 1, 4, 2]);
    expect([...mirroredOrder(3)]).toEqual([2, 1, 0]);
    expect([...slidOrder(4, 1)]).toEqual([3, 0, 1, 2]);
    const sample = loose();
    const threading = Array.from(readWarp(sample.warp).threading);
    const moved = carriedOut(rearrangeEnds({ ends: { from: 1, to: 4 }, how: 'alternate' }), sample);
    expect(Array.from(readWarp(moved.warp).threading).slice(0, 4)).toEqual([0, 2, 1, 3].map((at) => threading[at]));
  });

  it('a line touches from cell to cell', () => {
    const cells = cellsOfLine({ x: 2, y: 9 }, { x: -5, y: 5 });
    expect([cells[0], cells.at(-1)]).toEqual([
      { x: 2, y: 9 },
      { x: -5, y: 5 },
    ]);
    cells.slice(1).forEach((cell, i) => {
      expect(Math.max(Math.abs(cell.x - cells[i].x), Math.abs(cell.y - cells[i].y))).toBe(1);
    });
  });
});

describe('a drawdown woven on the loom', () => {
  const rowsOf = (sample: Sample, count: number) =>
    rowsFromDrawdown(
      toClothProblem({
        ...sample,
        picks: sample.picks.slice(0, count).map((pick) => ({ ...pick, passes: [pick.passes[0]] })),
      }).problem.drawdown,
    );
  const hopsack = tile(
    drawdownFromRows([
      [1, 1, 0, 0],
      [1, 1, 0, 0],
      [0, 0, 1, 1],
      [0, 0, 1, 1],
    ]),
    4,
    24,
  );

  it('comes out as asked where the threading allows it', () => {
    const sample = fixed();
    const fitted = fitDrawdown(sample, hopsack);
    expect(fitted).toMatchObject({ changed: 0 });
    expect(fitted.threading).toBeUndefined();
    const woven = carriedOut(weaveFitted({ fitted, fromPick: 1, what: 'a picture' }), sample);
    expect(rowsOf(woven, 4)).toEqual(rowsFromDrawdown(hopsack));
    expect(woven.picks.map(({ passes }) => passes[0].strands)).toEqual(
      sample.picks.map(({ passes }) => passes[0].strands),
    );
  });

  it('is threaded anew where the warp may be, and the nearest where it may not', () => {
    // One end of each colour group its own way: more than a straight draw of eight repeats.
    const lone = drawdownFromRows([Array.from({ length: 24 }, (_, end) => (end === 5 ? 1 : 0))]);
    const free = fitDrawdown(loose(), lone);
    expect(free.changed).toBe(0);
    expect(free.threading?.filter((shaft) => shaft === free.threading?.[5])).toHaveLength(1);
    // On shafts 1–8 × 3 the end shares its shaft with two others: leaving all three down changes one crossing.
    expect(fitDrawdown(fixed(), lone)).toMatchObject({ changed: 1, lifts: [[]] });
  });

  it('lengthens the sample where the drawdown is longer, wefts going on in turn', () => {
    const sample = fixed();
    const fitted = fitDrawdown(sample, tile(hopsack, 16, 24));
    const woven = carriedOut(weaveFitted({ fitted, fromPick: 5, what: 'a picture' }), sample);
    expect(woven.picks).toHaveLength(20);
    expect(woven.picks[13].passes[0].strands).toEqual(sample.picks[1].passes[0].strands);
  });
});
