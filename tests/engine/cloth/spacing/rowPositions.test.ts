import { describe, expect, it } from 'vitest';
import { ClothError } from '#engine/cloth/clothError.ts';
import { firmnessOfResistance } from '#engine/cloth/spacing/beatLaw.ts';
import { compareRows, createRowPair } from '#engine/cloth/spacing/rowPairs.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { hashUniform } from '#engine/units/hash.ts';
import { drawdownWhere } from '#engine/weave/structures/structureTypes.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const plain = drawdownFromRows([
  [1, 0],
  [0, 1],
]);
const thin = roundBody('thin', 0.3, 0.008);
const cord = roundBody('cord', 2, 1.4, 2000);
const base = { weave: plain, rows: 40, ends: 20, endsPerCm: 10, warp: [thin], weft: [thin] };

describe('row positions', () => {
  it('a firmer beat never opens the cloth, and a pick cannot pass its neighbour', () => {
    let before = Number.POSITIVE_INFINITY;
    for (const firmness of [0, 0.25, 0.5, 0.75, 1]) {
      const { rowYMm } = rowPositions(clothProblem({ ...base, firmness }), false);
      const length = rowYMm[base.rows - 1];
      expect(length).toBeLessThan(before);
      expect(length).toBeGreaterThanOrEqual((base.rows - 1) * thin.contactWidthMm);
      before = length;
    }
  });

  it('a thick weft lengthens the cloth by at least its own width', () => {
    const even = rowPositions(clothProblem(base), false).rowYMm;
    const thick = rowPositions(clothProblem({ ...base, weft: [thin, cord] }), false).rowYMm;
    const added = (thick[base.rows - 1] - even[base.rows - 1]) / (base.rows - 1);
    expect(added).toBeGreaterThan((cord.contactWidthMm - thin.contactWidthMm) / 2);
  });

  it('two picks in one shed lie side by side, touching, however soft the beat', () => {
    const doubled = drawdownFromRows([
      [1, 0],
      [1, 0],
      [0, 1],
      [0, 1],
    ]);
    const { rowYMm } = rowPositions(clothProblem({ ...base, weave: doubled, firmness: 0 }), false);
    expect(rowYMm[1] - rowYMm[0]).toBeCloseTo(thin.contactWidthMm, 9);
    expect(rowYMm[2] - rowYMm[1]).toBeGreaterThan(2 * thin.contactWidthMm);
  });

  it('passes side by side in one pick share its position', () => {
    const problem = clothProblem({ ...base, rows: 4 });
    const parts = {
      ...problem,
      rowPick: Uint32Array.from([0, 1, 1, 2]),
      rowFirst: Uint32Array.from([0, 0, 10, 0]),
      rowLast: Uint32Array.from([19, 9, 19, 19]),
      drawdown: drawdownFromRows(
        [
          [1, 0],
          [0, 1],
          [0, 1],
          [1, 0],
        ].map((r) => Array.from({ length: 20 }, (_, i) => r[i % 2])),
      ),
    };
    const { rowYMm } = rowPositions(parts, false);
    expect(rowYMm[2]).toBeCloseTo(rowYMm[1], 9);
    expect(rowYMm[3]).toBeGreaterThan(rowYMm[2]);
  });

  it('a fixed count finds the beat that it needs, and that beat gives the count', () => {
    const fixed = rowPositions(clothProblem({ ...base, fixedPicksPerCm: 12 }), false);
    expect((10 * (base.rows - 1)) / fixed.rowYMm[base.rows - 1]).toBeCloseTo(12, 3);
    const again = rowPositions(clothProblem({ ...base, firmness: fixed.firmnessNeeded }), false);
    expect((10 * (base.rows - 1)) / again.rowYMm[base.rows - 1]).toBeCloseTo(12, 3);
  });

  it('a count that cannot be beaten in is refused, with the most that can', () => {
    const attempt = () => rowPositions(clothProblem({ ...base, fixedPicksPerCm: 60 }), false);
    expect(attempt).toThrow(ClothError);
    expect(attempt).toThrow(/jam at \d+\.\d picks\/cm/);
  });

  it('scatter moves picks about the structure’s spacing without moving its mean by more than 2 %', () => {
    const rows = 400;
    const even = rowPositions(clothProblem({ ...base, rows }), true).rowYMm;
    const uneven = rowPositions(clothProblem({ ...base, rows, scatterShare: 0.1, seed: 7 }), true).rowYMm;
    expect(Math.abs(uneven[rows - 1] / even[rows - 1] - 1)).toBeLessThan(0.02);
    const again = rowPositions(clothProblem({ ...base, rows, scatterShare: 0.1, seed: 7 }), true).rowYMm;
    expect(again).toEqual(uneven);
    expect(uneven).not.toEqual(even);
  });

  it('firmness and resistance are inverse', () => {
    const { resistanceNPerCm } = rowPositions(clothProblem({ ...base, firmness: 0.31 }), false);
    expect(firmnessOfResistance(resistanceNPerCm[3])).toBeCloseTo(0.31, 9);
  });
});

describe('how two rows stand to each other', () => {
  it('plain rows swap at every end, 2/2 twill rows at every other, layers never', () => {
    const pair = createRowPair();
    compareRows(pair, clothProblem(base), 0, 1);
    expect([pair.common, pair.changing, pair.swaps]).toEqual([20, 20, 19]);
    const twill = drawdownFromRows([
      [1, 1, 0, 0],
      [0, 1, 1, 0],
      [0, 0, 1, 1],
      [1, 0, 0, 1],
    ]);
    compareRows(pair, clothProblem({ ...base, weave: twill }), 0, 1);
    expect([pair.changing, pair.swaps]).toEqual([10, 9]);
    const double = drawdownFromRows([
      [1, 0, 0, 0],
      [1, 1, 1, 0],
    ]);
    compareRows(pair, clothProblem({ ...base, weave: double }), 0, 1);
    expect([pair.changing, pair.swaps]).toEqual([10, 0]);
  });

  it('counts changes of place as one goes from end to end, over more than a word of lifts, seed 5', () => {
    const ends = 77;
    for (let cloth = 0; cloth < 40; cloth++) {
      const lift = (row: number, end: number) => hashUniform(5, cloth * 1000 + row * ends + end) < 0.3 + 0.01 * cloth;
      const weave = drawdownWhere(2, ends, lift);
      const pair = createRowPair();
      compareRows(pair, clothProblem({ ...base, rows: 2, ends, weave }), 0, 1);
      // Whichever row has an end down that the other lifts lies above it there.
      const above: number[] = [];
      for (let end = 0; end < ends; end++) if (lift(0, end) !== lift(1, end)) above.push(lift(0, end) ? 1 : 0);
      expect(pair.changing).toBe(above.length);
      expect(pair.swaps).toBe(above.filter((row, k) => k > 0 && row !== above[k - 1]).length);
    }
  });
});
