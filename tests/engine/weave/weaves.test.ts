import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { distinctEnds } from '#engine/draft/distinct.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { smallestRepeat } from '#engine/draft/repeats.ts';
import {
  backView,
  complement,
  cycle,
  reverseEnds,
  reversePicks,
  rowsFromDrawdown,
  sameDrawdown,
} from '#engine/draft/transformDrawdown.ts';
import {
  hopsack,
  plainWeave,
  satin,
  satinMoves,
  shiftedLine,
  twill,
  warpRib,
  weftRib,
} from '#engine/weave/basicWeaves.ts';
import { blockCapacity, blockDrawdown } from '#engine/weave/blocks.ts';
import { doubleCloth, doublePlain } from '#engine/weave/compoundWeaves.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { weaveClass } from '#engine/weave/weaveClass.ts';
import { arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';

const seed = 1907;

describe('basic weaves', () => {
  it('have the marks that handbooks print', () => {
    expect(rowsFromDrawdown(twill([3, 1]))).toEqual([
      [1, 1, 1, 0],
      [0, 1, 1, 1],
      [1, 0, 1, 1],
      [1, 1, 0, 1],
    ]);
    expect(rowsFromDrawdown(twill([2, 1], -1))).toEqual([
      [1, 1, 0],
      [1, 0, 1],
      [0, 1, 1],
    ]);
    expect(rowsFromDrawdown(hopsack(2))).toEqual([
      [1, 1, 0, 0],
      [1, 1, 0, 0],
      [0, 0, 1, 1],
      [0, 0, 1, 1],
    ]);
    expect(rowsFromDrawdown(warpRib(2))).toEqual([
      [1, 0],
      [1, 0],
      [0, 1],
      [0, 1],
    ]);
    expect(rowsFromDrawdown(weftRib(3))).toEqual([
      [1, 1, 1, 0, 0, 0],
      [0, 0, 0, 1, 1, 1],
    ]);
  });

  it('of satin have one stitch in every end and pick, none beside another', () => {
    for (let ends = 5; ends <= 24; ends++) {
      for (const move of satinMoves(ends)) {
        const weft = satin(ends, move, 'weft');
        expect(smallestRepeat(weft, true)).toEqual({ rows: ends, ends });
        const stitches = rowsFromDrawdown(weft).map((row) => {
          expect(row.filter((up) => up).length).toBe(1);
          return row.indexOf(1);
        });
        expect(new Set(stitches).size).toBe(ends);
        stitches.forEach((stitch, pick) => {
          const apart = Math.abs(stitch - stitches[(pick + 1) % ends]);
          expect(Math.min(apart, ends - apart)).toBeGreaterThan(1);
        });
        expect(sameDrawdown(complement(satin(ends, move, 'warp')), weft)).toBe(true);
      }
    }
  });

  it('are refused where they cannot be', () => {
    expect(() => satin(6, 2, 'weft')).toThrow(/No move does/);
    expect(() => satin(8, 2, 'warp')).toThrow(/Use 3, 5/);
    expect(() => twill([2, 2, 1])).toThrow(/2\/2\/1 was given/);
    expect(() => twill([0, 2])).toThrow(/pairs of over and under/);
  });
});

describe('double cloth', () => {
  it('of plain weave shows each colour on its own face, the back the exact negative', () => {
    // Odd ends and picks dark, even ones pale. Where the cloths cross each other the upper one shows, and at one
    // crossing in four, back over back, the lower: that one lies hidden under the face threads beside it.
    const shares = [
      doublePlain(['face', 'back'], ['face', 'back']),
      doublePlain(['back', 'face'], ['back', 'face']),
    ].map((cloth) => {
      const colours = { face: 0, back: 0 };
      rowsFromDrawdown(cloth).forEach((row, pick) => {
        row.forEach((up, end) => {
          const [over, under] = up ? [end, pick] : [pick, end];
          colours.face += over % 2 === 0 ? 1 : 0;
          colours.back += under % 2 === 0 ? 1 : 0;
        });
      });
      return [colours.face / 16, colours.back / 16];
    });
    expect(shares).toEqual([
      [0.75, 0.25],
      [0.25, 0.75],
    ]);
    const dark = doublePlain(['face', 'back'], ['face', 'back']);
    expect(layersOf(dark).count).toBe(2);
    expect([...layersOf(dark).endLayer]).toEqual([0, 1, 0, 1]);
    // Turned over, the last end comes first, and the back cloth lies on top.
    expect([...layersOf(backView(dark)).endLayer]).toEqual([0, 1, 0, 1]);
  });

  it('runs until both cloths come round', () => {
    const mixed = doubleCloth(twill([2, 1]), plainWeave(), ['face', 'face', 'back'], ['face', 'back']);
    expect([mixed.rows, mixed.ends]).toEqual([12, 18]);
    expect(layersOf(mixed).count).toBe(2);
  });

  it('is refused without threads for a layer', () => {
    expect(() => doublePlain(['face'], ['face', 'back'])).toThrow(/back cloth no ends/);
  });
});

describe('blocks', () => {
  const rep = [plainWeave(), complement(plainWeave())];

  it('keep both structures in register across the cloth', () => {
    const cloth = blockDrawdown(
      [
        [0, 1],
        [1, 0],
      ],
      rep,
      [3, 5],
      4,
    );
    expect([cloth.rows, cloth.ends]).toEqual([8, 8]);
    expect(rowsFromDrawdown(cloth)[0]).toEqual([1, 0, 1, 1, 0, 1, 0, 1]);
    expect(rowsFromDrawdown(cloth)[4]).toEqual([0, 1, 0, 0, 1, 0, 1, 0]);
    // Opposite blocks share their two shafts; blocks that differ once need two of their own.
    expect(distinctEnds(cloth).firstOf.length).toBe(2);
    expect(
      distinctEnds(
        blockDrawdown(
          [
            [0, 1],
            [0, 0],
          ],
          rep,
          4,
          4,
        ),
      ).firstOf.length,
    ).toBe(4);
  });

  it('need four shafts each in double plain weave, however many picks they weave', () => {
    const layers = [doublePlain(['face', 'back'], ['face', 'back']), doublePlain(['back', 'face'], ['back', 'face'])];
    const blocks = 6;
    const plan = Array.from({ length: blocks }, (_, row) =>
      Array.from({ length: blocks }, (_, c) => (row === c ? 1 : 0)),
    );
    expect(distinctEnds(blockDrawdown(plan, layers, 8, 8)).firstOf.length).toBe(4 * blocks);
  });

  it('are refused where plan, structures and sizes do not fit', () => {
    expect(() => blockDrawdown([[0, 1], [0]], rep, 2, 2)).toThrow(/Row 2 of the block plan has 1 blocks/);
    expect(() => blockDrawdown([[0, 2]], rep, 2, 2)).toThrow(/block 2 of the plan names structure 2/);
    expect(() => blockDrawdown([[0, 1]], rep, [2], 2)).toThrow(/1 block sizes in ends were given for 2/);
    expect(() => blockDrawdown([[0, 1]], rep, 2, 0)).toThrow(/Block 1 has 0 picks/);
  });

  it('number as a loom allows', () => {
    expect(blockCapacity(24, [1, 2, 3, 4], [5, 6, 7, 8])).toBe(6);
    expect(blockCapacity(16, [1, 2], [3, 4])).toBe(8);
    expect(blockCapacity(1, [1, 2], [3, 4])).toBe(0);
  });
});

describe('weaveClass', () => {
  it(`is the same for a weave begun elsewhere, mirrored or turned over (seed ${seed})`, () => {
    fc.assert(
      fc.property(
        arbitraryDrawdown(6, 6),
        fc.integer({ min: 0, max: 5 }),
        fc.integer({ min: 0, max: 5 }),
        (d, a, b) => {
          const name = weaveClass(d);
          for (const same of [cycle(d, a, b), complement(d), reverseEnds(d), reversePicks(cycle(d, b, a))]) {
            expect(weaveClass(same)).toBe(name);
          }
        },
      ),
      { seed, numRuns: 60 },
    );
  });
  it('tells different weaves apart', () => {
    expect(weaveClass(twill([3, 1]))).not.toBe(weaveClass(twill([2, 2])));
    expect(weaveClass(satin(5, 2, 'weft'))).toBe(weaveClass(satin(5, 3, 'warp')));
    expect(weaveClass(shiftedLine([1, 0, 0, 0], 1))).not.toBe(weaveClass(drawdownFromRows([[1, 0, 0, 0]])));
  });
});
