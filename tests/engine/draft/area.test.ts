import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AreaChange, changeArea, cutArea, layArea } from '#engine/draft/area.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { rowsFromDrawdown, sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import { arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';

const twill = drawdownFromRows([
  [1, 1, 0, 0],
  [0, 1, 1, 0],
  [0, 0, 1, 1],
  [1, 0, 0, 1],
]);

describe('an area of the drawdown', () => {
  it('is changed and laid back alone', () => {
    const area = { fromEnd: 1, toEnd: 2, fromRow: 0, toRow: 1 };
    const swapped = layArea(twill, area, changeArea(cutArea(twill, area), 'swapFaces'));
    expect(rowsFromDrawdown(swapped)).toEqual([
      [1, 0, 1, 0],
      [0, 0, 0, 0],
      [0, 0, 1, 1],
      [1, 0, 0, 1],
    ]);
  });

  // A twill's line turned by a quarter runs the other way (common practice).
  it('a twill turned runs the other way', () => {
    const [first, second] = rowsFromDrawdown(changeArea(twill, 'turn'));
    const shifted = (by: number) => first.map((_, end) => first[(end + by + 4) % 4]);
    expect(second).toEqual(shifted(1));
    expect(rowsFromDrawdown(twill)[1]).toEqual(
      [...rowsFromDrawdown(twill)[0].keys()].map((end) => rowsFromDrawdown(twill)[0][(end + 3) % 4]),
    );
  });

  it.each<[AreaChange, number]>([
    ['mirrorAcross', 2],
    ['mirrorAlong', 2],
    ['swapFaces', 2],
    ['turn', 4],
  ])('%s %i times over is nothing (seed 12)', (change, times) => {
    fc.assert(
      fc.property(arbitraryDrawdown(40, 40), (drawdown) => {
        const side = Math.min(drawdown.rows, drawdown.ends);
        const square = cutArea(drawdown, { fromEnd: 0, toEnd: side - 1, fromRow: 0, toRow: side - 1 });
        let turned = square;
        for (let i = 0; i < times; i++) turned = changeArea(turned, change);
        expect(sameDrawdown(turned, square)).toBe(true);
      }),
      { seed: 12, numRuns: 50 },
    );
  });

  it('slid round by its whole size is nothing, and by one moves every crossing by one', () => {
    let slid = twill;
    for (let i = 0; i < 4; i++) slid = changeArea(slid, 'slideAcross');
    expect(sameDrawdown(slid, twill)).toBe(true);
    expect(rowsFromDrawdown(changeArea(twill, 'slideAcross'))[0]).toEqual([0, 1, 1, 0]);
    expect(rowsFromDrawdown(changeArea(twill, 'slideAlong'))[1]).toEqual([1, 1, 0, 0]);
  });
});
