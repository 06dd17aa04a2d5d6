import { describe, expect, it } from 'vitest';
import { threadingFromShafts } from '#engine/draft/checkDraft.ts';
import { computeDrawdown, computeTreadledDrawdown } from '#engine/draft/computeDrawdown.ts';
import { distinctEnds, distinctPicks } from '#engine/draft/distinct.ts';
import { type Drawdown, drawdownFromRows, isWarpUp } from '#engine/draft/drawdown.ts';
import { liftPlanFromShafts, tieUpFromShafts } from '#engine/draft/liftPlan.ts';
import { parseThreading } from '#engine/draft/orders.ts';
import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { rowsFromDrawdown, sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { blockCapacity } from '#engine/weave/blocks.ts';
import { doubleCloth, doublePlain } from '#engine/weave/compoundWeaves.ts';
import { measureFloats } from '#engine/weave/floats.ts';
import { hangsTogether, layersOf } from '#engine/weave/layers.ts';
import { caseById } from './cases.ts';

type Rows = number[][];

/** One layer's own crossings. */
function layerRows(drawdown: Drawdown, layer: number): Rows {
  const { endLayer, pickLayer } = layersOf(drawdown);
  return rowsFromDrawdown(drawdown)
    .filter((_, row) => pickLayer[row] === layer)
    .map((row) => row.filter((_, end) => endLayer[end] === layer));
}

describe('drafts from handbooks', () => {
  it('SD-01: double cloth from threading and pegging (Brooks)', () => {
    const { inputs, expected } = caseById<
      { threading: number[]; lifts: Rows },
      { interlacement: Rows; hangs_together: boolean; top_layer: Rows; bottom_layer: Rows }
    >('textile', 'SD-01');
    const drawdown = computeDrawdown(threadingFromShafts(inputs.threading, 4), liftPlanFromShafts(inputs.lifts, 4));
    expect(rowsFromDrawdown(drawdown)).toEqual(expected.interlacement);
    expect(hangsTogether(drawdown)).toBe(expected.hangs_together);
    expect(layerRows(drawdown, 0)).toEqual(expected.top_layer);
    expect(layerRows(drawdown, 1)).toEqual(expected.bottom_layer);
  });

  it('SD-02: 2/2 twill from a rising tie-up, and from its sinking opposite', () => {
    const { inputs, expected } = caseById<
      { threading: number[]; tieup_rising: Rows; treadling: number[] },
      { interlacement: Rows }
    >('textile', 'SD-02');
    const threading = threadingFromShafts(inputs.threading, 4);
    const treadling = setsFromLists(inputs.treadling.map((treadle) => [treadle]));
    const rising = computeTreadledDrawdown(threading, tieUpFromShafts(inputs.tieup_rising, 4, 'rising'), treadling);
    expect(rowsFromDrawdown(rising)).toEqual(expected.interlacement);
    expect(sameDrawdown(rising, twill([2, 2]))).toBe(true);
    const others = inputs.tieup_rising.map((tied) => [1, 2, 3, 4].filter((shaft) => !tied.includes(shaft)));
    const sinking = computeTreadledDrawdown(threading, tieUpFromShafts(others, 4, 'sinking'), treadling);
    expect(sameDrawdown(sinking, rising)).toBe(true);
  });

  it('SD-04: eight-end satin on a straight draw', () => {
    const { inputs, expected } = caseById<
      { threading: number[]; lifts: Rows },
      { interlacement: Rows; max_weft_float: number; hangs_together: boolean }
    >('textile', 'SD-04');
    const drawdown = computeDrawdown(parseThreading('straight 8', 8), liftPlanFromShafts(inputs.lifts, 8));
    expect([...parseThreading('straight 8')]).toEqual(inputs.threading);
    expect(rowsFromDrawdown(drawdown)).toEqual(expected.interlacement);
    expect(measureFloats(drawdown).weftOnFace.longest).toBe(expected.max_weft_float);
    expect(hangsTogether(drawdown)).toBe(expected.hangs_together);
  });

  it('SD-08: summer and winter', () => {
    const { inputs, expected } = caseById<
      { threading_block_A: number[]; threading_block_B: number[]; lifts: Rows },
      { interlacement: Rows; max_pattern_weft_float: number }
    >('textile', 'SD-08');
    const threading = threadingFromShafts([...inputs.threading_block_A, ...inputs.threading_block_B], 4);
    const drawdown = computeDrawdown(threading, liftPlanFromShafts(inputs.lifts, 4));
    expect(rowsFromDrawdown(drawdown)).toEqual(expected.interlacement);
    expect(measureFloats(drawdown).weftOnFace.longest).toBe(expected.max_pattern_weft_float);
  });

  it("SD-10: M's and O's", () => {
    const { inputs, expected } = caseById<{ lifts: Rows }, { interlacement: Rows }>('textile', 'SD-10');
    const threading = parseThreading('1-4 x2, 1 3 2 4 x2', 4);
    expect(rowsFromDrawdown(computeDrawdown(threading, liftPlanFromShafts(inputs.lifts, 4)))).toEqual(
      expected.interlacement,
    );
  });

  it('SD-15: overshot blocks show float, half-tone, nothing, half-tone under a pattern shed', () => {
    const { inputs, expected } = caseById<unknown, { pattern_sheds: Rows; tabbies: Rows }>('textile', 'SD-15');
    expect(inputs).toBeDefined();
    const blocks = expected.pattern_sheds;
    // Two pairs of ends a block, the odd shaft first, so that odd and even alternate over the joins.
    const threading = threadingFromShafts(
      blocks.flatMap((pair) => {
        const [odd, even] = pair.toSorted((a, b) => (b % 2) - (a % 2));
        return [odd, even, odd, even];
      }),
      4,
    );
    const pattern = computeDrawdown(threading, liftPlanFromShafts(expected.pattern_sheds, 4));
    const endsUp = (row: number, block: number) =>
      [0, 1, 2, 3].filter((k) => isWarpUp(pattern, row, 4 * block + k)).length;
    // Pattern weft over none, half, all and half of the four ends of the block, going round from the block lifted.
    for (let shed = 0; shed < 4; shed++) {
      expect([0, 1, 2, 3].map((k) => 4 - endsUp(shed, (shed + k) % 4))).toEqual([0, 2, 4, 2]);
    }
    const ground = computeDrawdown(threading, liftPlanFromShafts(expected.tabbies, 4));
    expect(measureFloats(ground).weftOnFace.longest).toBe(1);
  });

  it('SD-17: mock leno', () => {
    const { inputs, expected } = caseById<
      Record<string, Rows>,
      { distinct_ends: number; distinct_picks: number; max_float: number; hangs_together: boolean }
    >('textile', 'SD-17');
    const leno = drawdownFromRows(Object.values(inputs)[0]);
    expect(distinctEnds(leno).firstOf.length).toBe(expected.distinct_ends);
    expect(distinctPicks(leno).firstOf.length).toBe(expected.distinct_picks);
    const longest = Object.values(measureFloats(leno)).map((side) => side.longest);
    expect(Math.max(...longest)).toBe(expected.max_float);
    expect(hangsTogether(leno)).toBe(expected.hangs_together);
  });
});

describe('double cloth and blocks', () => {
  it("SD-14: one colour on the face, by Taylor's rule", () => {
    const { expected } = caseById<unknown, { black_on_face: Rows; white_on_face: Rows; hangs_together: boolean[] }>(
      'textile',
      'SD-14',
    );
    const black = doublePlain(['face', 'back'], ['face', 'back']);
    const white = doublePlain(['back', 'face'], ['back', 'face']);
    expect(rowsFromDrawdown(black)).toEqual(expected.black_on_face);
    expect(rowsFromDrawdown(white)).toEqual(expected.white_on_face);
    expect([hangsTogether(black), hangsTogether(white)]).toEqual(expected.hangs_together);
  });

  it('SD-05: shafts a block, one for each distinct end of its structure', () => {
    const { expected } = caseById<unknown, { shafts_per_block: number[] }>('textile', 'SD-05');
    const twoTwo = twill([2, 2]);
    const structures = [
      plainWeave(),
      twoTwo,
      satin(5, 2, 'weft'),
      satin(8, 3, 'weft'),
      doublePlain(['face', 'back'], ['face', 'back']),
      doubleCloth(twoTwo, twoTwo, ['face', 'back'], ['face', 'back']),
    ];
    expect(structures.map((weave) => distinctEnds(weave).firstOf.length)).toEqual(expected.shafts_per_block);
  });

  it('SD-06: blocks on eight shafts, from the threading units of two blocks', () => {
    const { inputs, expected } = caseById<{ shafts: number }, Record<string, number>>('textile', 'SD-06');
    // Units from memory: tie-downs and ground shafts common to all blocks, the rest the block's own.
    const units: Record<string, [number[], number[]]> = {
      summer_and_winter_blocks: [
        [1, 3, 2, 3],
        [1, 4, 2, 4],
      ],
      four_end_twill_blocks: [
        [1, 2, 3, 4],
        [5, 6, 7, 8],
      ],
      double_weave_blocks: [
        [1, 2, 3, 4],
        [5, 6, 7, 8],
      ],
      huck_lace_blocks: [
        [1, 3, 1, 3, 1, 2, 4, 2, 4, 2],
        [1, 5, 1, 5, 1, 2, 6, 2, 6, 2],
      ],
      spot_bronson_blocks: [
        [1, 2, 1, 2],
        [1, 3, 1, 3],
      ],
    };
    expect(Object.keys(units)).toEqual(Object.keys(expected));
    for (const [name, [a, b]] of Object.entries(units))
      expect(blockCapacity(inputs.shafts, a, b), name).toBe(expected[name]);
  });
});
