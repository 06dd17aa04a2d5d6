import { describe, expect, it } from 'vitest';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type HoldsMemory, holdsAsBefore } from '#engine/cloth/spacing/holdsAsBefore.ts';
import { rowHolds } from '#engine/cloth/spacing/rowPositions.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const twill = drawdownFromRows([0, 1, 2, 3].map((row) => [0, 1, 2, 3].map((end) => ((end + 4 - row) % 4 < 2 ? 1 : 0))));
const cotton = roundBody('cotton', 0.5, 0.01);

function cloth(more: Partial<Parameters<typeof clothProblem>[0]> = {}): ClothProblem {
  return clothProblem({ weave: twill, rows: 12, ends: 16, endsPerCm: 10, warp: [cotton], weft: [cotton], ...more });
}

describe('what holds rows off one another', () => {
  it('is as it was found before whatever the beat', () => {
    const memory: HoldsMemory = {};
    const before = holdsAsBefore(cloth(), memory);
    expect(holdsAsBefore(cloth({ firmness: 0.3, scatterShare: 0.1 }), memory)).toBe(before);
  });

  it.each([
    ['lifts', { weave: drawdownFromRows([0, 1].map((row) => [0, 1].map((end) => (row + end) % 2))) }],
    ['wefts', { weft: [roundBody('thick', 0.9, 0.02)] }],
    ['ends’ room', { endsPerCm: 12 }],
    ['tension', { endTensionN: 2 }],
    ['picks', { rows: 14 }],
  ])('is found anew where %s differ', (_what, more) => {
    const memory: HoldsMemory = {};
    const before = holdsAsBefore(cloth(), memory);
    const found = holdsAsBefore(cloth(more), memory);
    expect(found).toEqual(rowHolds(cloth(more)));
    expect(found).not.toEqual(before);
  });

  it('is the same whether ends are taken for alike or looked up one by one', () => {
    // Two names of one yarn: not taken for alike.
    const unlike = rowHolds(cloth({ warp: [cotton, { ...cotton, id: 'other' }] }));
    const alike = rowHolds(cloth());
    expect(unlike.length).toBe(alike.length);
    unlike.forEach((hold, k) => {
      for (const [name, value] of Object.entries(hold))
        expect(alike[k][name as keyof typeof hold]).toBeCloseTo(value, 12);
    });
  });
});
