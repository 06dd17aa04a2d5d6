import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cellSizesPx,
  draftLayout,
  fittingCellIndex,
  middleOf,
  pickNumbersPx,
  placeAt,
  scrollTo,
} from '#app/draft/draftLayout.ts';
import type { DraftSheet } from '#app/draft/paintDraft.ts';
import { placeSeen } from '#app/draft/placeSeen.ts';

const seed = 20261125;

function sheetOf(ends: number, rows: number, shafts: number): DraftSheet {
  return {
    shafts,
    threading: [],
    tieUp: undefined,
    lifts: [],
    drawdown: { ends, rows } as DraftSheet['drawdown'],
    endColours: [],
    rowColours: [],
    rowPick: Array.from({ length: rows }, (_, row) => row),
  };
}

describe('the draft in its window', () => {
  const large = sheetOf(400, 400, 24);

  it('a large one is readable at once: cells of 4 px and more, a good part of them, in windows from phone to desk', () => {
    for (const [widthPx, heightPx] of [
      [330, 300],
      [760, 360],
      [1240, 304],
      [1880, 400],
    ]) {
      const layout = draftLayout(large, widthPx, heightPx, cellSizesPx[fittingCellIndex(large, widthPx, heightPx)]);
      expect(layout.cellPx).toBeGreaterThanOrEqual(4);
      expect(layout.width / layout.cellPx).toBeGreaterThanOrEqual(20);
      expect(layout.height / layout.cellPx).toBeGreaterThanOrEqual(15);
      // The lifts stay in the window beside it.
      expect(layout.planLeft + 24 * layout.cellPx).toBeLessThanOrEqual(widthPx);
    }
  });

  it('a small one takes no more room than it has, its lifts next to it', () => {
    const layout = draftLayout(sheetOf(8, 8, 4), 1000, 400, 11);
    expect([layout.width, layout.height]).toEqual([88, 88]);
    expect([layout.mostScrollX, layout.mostScrollY]).toEqual([0, 0]);
    expect(layout.planLeft).toBe(pickNumbersPx + 88 + 33);
  });

  it(`any place comes to the middle, or as near as the edges let it (seed ${seed})`, () => {
    fc.assert(
      fc.property(fc.nat(399), fc.nat(399), fc.constantFrom(...cellSizesPx), (end, row, cellPx) => {
        const layout = draftLayout(large, 1240, 360, cellPx);
        const scroll = scrollTo(layout, 400, { end, row });
        const x = layout.left + (end + 0.5) * cellPx - scroll.x;
        const y = layout.top + (400 - row - 0.5) * cellPx - scroll.y;
        expect(placeAt(layout, large, scroll, x, y)).toEqual({ end, row });
        const middle = middleOf(layout, 400, scroll);
        if (scroll.x > 0 && scroll.x < layout.mostScrollX) expect(middle.end).toBeCloseTo(end, 6);
        if (scroll.y > 0 && scroll.y < layout.mostScrollY) expect(middle.row).toBeCloseTo(row, 6);
      }),
      { seed, numRuns: 300 },
    );
  });
});

describe('the place the draft opens at', () => {
  const problem = { rows: 5, ends: 6, rowPick: Uint32Array.from([0, 1, 1, 2, 3]) };
  const places = { endXMm: [1, 2, 3, 4, 5, 6], rowYMm: [10, 20, 21, 30, 40] };
  const pose = { targetXMm: 4.2, targetYMm: 28, yawRad: 0, pitchRad: 0, mmPerPx: 1 };

  it('is what lies in the middle of the cloth as it is seen', () => {
    expect(placeSeen({ pose, selection: undefined }, problem, places)).toEqual({ end: 3, row: 3 });
    expect(
      placeSeen({ pose: { ...pose, targetXMm: 99, targetYMm: -5 }, selection: undefined }, problem, places),
    ).toEqual({ end: 5, row: 0 });
  });

  it('is the picks or ends selected, where some are', () => {
    const picks = { kind: 'picks', range: { from: 1, to: 1 } } as const;
    expect(placeSeen({ pose, selection: picks }, problem, places)).toEqual({ end: 3, row: 1.5 });
    const ends = { kind: 'ends', range: { from: 0, to: 2 } } as const;
    expect(placeSeen({ pose, selection: ends }, problem, places)).toEqual({ end: 1, row: 3 });
  });

  it('is the middle of the draft while there is no forecast', () => {
    expect(placeSeen({ pose, selection: undefined }, problem, undefined)).toEqual({ end: 2.5, row: 2 });
  });
});
