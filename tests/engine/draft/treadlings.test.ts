import { describe, expect, it } from 'vitest';
import { computeTreadledDrawdown } from '#engine/draft/computeDrawdown.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { tieUpFromShafts } from '#engine/draft/liftPlan.ts';
import { parseThreading, parseTreadling } from '#engine/draft/orders.ts';
import { listSets } from '#engine/draft/shaftSet.ts';
import { ownTreadlings } from '#engine/draft/treadlings.ts';

const plainTies = [
  [1, 3, 5, 7],
  [2, 4, 6, 8],
];
/** A 4/4 twill line over eight shafts. */
const line = Array.from({ length: 8 }, (_, k) => [0, 1, 2, 3].map((step) => ((k + step) % 8) + 1));

describe('the treadlings of a tie-up', () => {
  it('are found along its twill line, past the plain treadles: in turn, to and fro, as drawn in', () => {
    const point = parseThreading('(1-8, 4-1) x5, 1');
    expect(ownTreadlings([...plainTies, ...line], 8, point).map(({ kind, notation }) => [kind, notation])).toEqual([
      ['inTurn', '3-10'],
      ['toAndFro', 'point 3-10'],
      ['asDrawnIn', '3-10, 6-3'],
    ]);
  });

  it('that come out alike are told once: a straight draw woven in turn, a point draw to and fro', () => {
    const point = parseThreading('(1-8, 7-2) x5, 1');
    expect(ownTreadlings(line, 8, point).map(({ notation }) => notation)).toEqual(['1-8', 'point 1-8']);
    const straight = parseThreading('1-8 x3');
    expect(ownTreadlings(line, 8, straight).map(({ notation }) => notation)).toEqual(['1-8', 'point 1-8']);
  });

  it('as drawn in, a line shorter than the draw begins again within it', () => {
    // presets/warps/signal-stripes.json: 1 and 2 plain, 3 to 6 a 2/2 twill, 7 to 10 a 1/3 twill, over eight shafts.
    const stripes = [
      ...plainTies,
      [1, 2, 5, 6],
      [2, 3, 6, 7],
      [3, 4, 7, 8],
      [1, 4, 5, 8],
      [1, 5],
      [2, 6],
      [3, 7],
      [4, 8],
    ];
    const offered = (draw: string) => ownTreadlings(stripes, 8, parseThreading(draw)).map(({ notation }) => notation);
    // Straight over eight it is the line in turn, twice: no other cloth.
    expect(offered('1-8 x12')).toEqual(['3-6', 'point 3-6', '7-10', 'point 7-10']);
    expect(offered('(1-8, 4-1) x8')).toContain('3-6 x2, 6-3');
  });

  it('are none without a line: the ties do not say their order', () => {
    const offered = (ties: number[][]) => ownTreadlings(ties, 4, parseThreading('1-4'));
    expect(offered([[1], [3], [3, 4]])).toEqual([]);
    // Side by side, but the ends on shaft 4 would lie loose: no line.
    expect(offered([[1], [2], [3]])).toEqual([]);
  });

  it('are found along a line that falls: a mirrored tie-up weaves the same cloth as drawn in', () => {
    const point = parseThreading('(1-8, 4-1) x5, 1');
    const mirrored = [...plainTies, ...[...line].reverse()];
    const told = ownTreadlings(mirrored, 8, point);
    expect(told.map(({ kind, notation }) => [kind, notation])).toEqual([
      ['inTurn', '3-10'],
      ['toAndFro', 'point 3-10'],
      ['asDrawnIn', '10-3, 7-10'],
    ]);
    const woven = (ties: number[][], notation: string) =>
      computeTreadledDrawdown(point, tieUpFromShafts(ties, 8, 'rising'), parseTreadling(notation, 10));
    expect(woven(mirrored, '10-3, 7-10')).toEqual(woven([...plainTies, ...line], '3-10, 6-3'));
  });

  it('are found where a line that falls begins at the top of a short climb', () => {
    const ties = [[3], [4], [3], [2], [1]];
    expect(ownTreadlings(ties, 4, parseThreading('1-4')).map(({ notation }) => notation)).toEqual([
      '2-5',
      'point 2-5',
      '5-2',
    ]);
  });

  it('woven as drawn in, a point draw gives a figure that mirrors both ways (common knowledge of point twills)', () => {
    const threading = parseThreading('1-8 7-2 1');
    const tieUp = tieUpFromShafts(line, 8, 'rising');
    const drawdown = computeTreadledDrawdown(threading, tieUp, parseTreadling('1-8 7-2 1', 8));
    for (let row = 0; row < 15; row++) {
      for (let end = 0; end < 15; end++) {
        expect(isWarpUp(drawdown, row, end)).toBe(isWarpUp(drawdown, row, 14 - end));
        expect(isWarpUp(drawdown, row, end)).toBe(isWarpUp(drawdown, 14 - row, end));
      }
    }
  });
});

describe('a treadling as it is written', () => {
  it.each([
    ['3-5 4', [[3], [4], [5], [4]]],
    ['point 2-4', [[2], [3], [4], [3]]],
    ['1+3 0, 2 x2', [[1, 3], [], [2], [2]]],
  ])('%s', (text, sets) => {
    expect(listSets(parseTreadling(text, 6))).toEqual(sets);
  });

  it('names the treadle that is not there', () => {
    expect(() => parseTreadling('1 7', 6)).toThrow('treadle 7; there are treadles 1 to 6');
    expect(() => parseTreadling('1+9', 6)).toThrow('treadle 9; there are treadles 1 to 6');
  });
});
