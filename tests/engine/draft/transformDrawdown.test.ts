import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawdownFromRows, isWarpUp } from '#engine/draft/drawdown.ts';
import {
  backView,
  complement,
  cycle,
  reverseEnds,
  reversePicks,
  rowsFromDrawdown,
  sameDrawdown,
  tile,
  transpose,
} from '#engine/draft/transformDrawdown.ts';
import { arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';

const seed = 4021;
const run = { seed, numRuns: 120 };

describe(`changes of a drawdown (random drawdowns up to 70 × 70, seed ${seed})`, () => {
  it('places every crossing where the definition says', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(), (d) => {
        const rows = rowsFromDrawdown(d);
        expect(rowsFromDrawdown(complement(d))).toEqual(rows.map((row) => row.map((up) => 1 - up)));
        expect(rowsFromDrawdown(reverseEnds(d))).toEqual(rows.map((row) => row.toReversed()));
        expect(rowsFromDrawdown(reversePicks(d))).toEqual(rows.toReversed());
        expect(rowsFromDrawdown(transpose(d))).toEqual(rows[0].map((_, end) => rows.map((row) => row[end])));
      }),
      run,
    );
  });

  it('comes back to itself when done twice', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(), (d) => {
        for (const change of [complement, reverseEnds, reversePicks, transpose, backView]) {
          expect(sameDrawdown(change(change(d)), d)).toBe(true);
        }
      }),
      run,
    );
  });

  it('keeps the bits beyond the last end 0', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(), (d) => {
        for (const changed of [complement(d), reverseEnds(d), transpose(d), cycle(d, 3, 5), tile(d, 40, 45)]) {
          const used = drawdownFromRows(rowsFromDrawdown(changed));
          expect([...changed.bits]).toEqual([...used.bits]);
        }
      }),
      run,
    );
  });

  it('tiles and cycles by the remainder', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(20, 40), fc.integer({ min: -50, max: 50 }), (d, by) => {
        const tiled = tile(d, 33, 65);
        const cycled = cycle(d, by, -by);
        for (let row = 0; row < 33; row++) {
          for (let end = 0; end < 65; end++) {
            if (isWarpUp(tiled, row, end) !== isWarpUp(d, row % d.rows, end % d.ends)) throw new Error('tile');
          }
        }
        expect(sameDrawdown(cycle(cycled, -by, by), d)).toBe(true);
        const first = isWarpUp(d, ((by % d.rows) + d.rows) % d.rows, ((-by % d.ends) + d.ends) % d.ends);
        expect(isWarpUp(cycled, 0, 0)).toBe(first);
      }),
      run,
    );
  });
});

describe('backView', () => {
  it('shows a right-hand twill as a left-hand twill of the other face', () => {
    // 3/1 twill, warp-faced, rising to the right; its back is 1/3, rising to the left.
    const face = drawdownFromRows([
      [1, 1, 1, 0],
      [0, 1, 1, 1],
      [1, 0, 1, 1],
      [1, 1, 0, 1],
    ]);
    expect(rowsFromDrawdown(backView(face))).toEqual([
      [1, 0, 0, 0],
      [0, 0, 0, 1],
      [0, 0, 1, 0],
      [0, 1, 0, 0],
    ]);
  });
});
