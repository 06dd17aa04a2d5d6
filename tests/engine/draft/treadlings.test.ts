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

  it('without a line are all of them', () => {
    const all = ['1-3', 'point 1-3'];
    const offered = (ties: number[][]) => ownTreadlings(ties, 4, parseThreading('1-4')).map(({ notation }) => notation);
    expect(offered([[1], [3], [3, 4]])).toEqual(all);
    // Side by side, but the ends on shaft 4 would lie loose: no line.
    expect(offered([[1], [2], [3]])).toEqual(all);
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
