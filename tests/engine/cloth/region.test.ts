import { describe, expect, it } from 'vitest';
import { clothRegion } from '#engine/cloth/region.ts';
import { drawdownFromRows, isWarpUp } from '#engine/draft/drawdown.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const twill = drawdownFromRows([
  [1, 1, 0, 0],
  [0, 1, 1, 0],
  [0, 0, 1, 1],
  [1, 0, 0, 1],
]);
const yarn = roundBody('yarn', 0.4, 0.01);
const whole = clothProblem({ weave: twill, rows: 20, ends: 70, endsPerCm: 10, warp: [yarn], weft: [yarn] });

describe('a region of a cloth', () => {
  it('keeps the weave, positions and picks of its part, across a word of the drawdown', () => {
    const part = clothRegion(whole, { firstRow: 3, lastRow: 9, firstEnd: 30, lastEnd: 49 });
    expect([part.rows, part.ends]).toEqual([7, 20]);
    for (let row = 0; row < 7; row++) {
      for (let end = 0; end < 20; end++) {
        expect(isWarpUp(part.drawdown, row, end)).toBe(isWarpUp(whole.drawdown, row + 3, end + 30));
      }
    }
    expect(Array.from(part.rowPick)).toEqual([0, 1, 2, 3, 4, 5, 6]);
    expect(part.endXMm[0]).toBe(whole.endXMm[30]);
    expect(part.beat.firmness.length).toBe(7);
  });

  it('leaves out passes that do not reach it, and cuts those that do', () => {
    const rowFirst = new Uint32Array(20);
    const rowLast = new Uint32Array(20).fill(69);
    rowLast[4] = 10;
    rowFirst[5] = 35;
    const part = clothRegion({ ...whole, rowFirst, rowLast }, { firstRow: 3, lastRow: 6, firstEnd: 30, lastEnd: 49 });
    expect(part.rows).toBe(3);
    expect([part.rowFirst[1], part.rowLast[1]]).toEqual([5, 19]);
  });

  it('refuses a part that no pick passes, and says where', () => {
    const rowLast = new Uint32Array(20).fill(10);
    expect(() => clothRegion({ ...whole, rowLast }, { firstRow: 0, lastRow: 9, firstEnd: 30, lastEnd: 49 })).toThrow(
      /No pick/,
    );
  });
});
