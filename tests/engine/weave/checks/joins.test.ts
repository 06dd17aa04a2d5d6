import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { complement } from '#engine/draft/transformDrawdown.ts';
import { hopsack, plainWeave, satin, satinMoves, twill, warpRib } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import type { CheckedCloth } from '#engine/weave/checks/checkTypes.ts';
import { partsOf } from '#engine/weave/checks/clothParts.ts';
import { findFoldCrowding } from '#engine/weave/checks/foldCrowding.ts';
import { findJoins, unplanned } from '#engine/weave/checks/joiningThreads.ts';
import { threadLines } from '#engine/weave/checks/longFloats.ts';
import { doubleCloth, doublePlain } from '#engine/weave/compoundWeaves.ts';
import { checkedPiece } from '#tests/helpers/checkedPiece.ts';

const joinsOf = (cloth: CheckedCloth) =>
  findJoins(cloth, threadLines(cloth)).findings.map((each) => [
    each.kind === 'joinsLayers' && each.system,
    each.places.map(({ fromRow, fromEnd }) =>
      each.kind === 'joinsLayers' && each.system === 'weft' ? fromRow : fromEnd,
    ),
  ]);

const alternate = doublePlain(['face', 'back'], ['face', 'back']);
/** Pockets: face and back change places from block to block. */
const exchanged = doublePlain(['back', 'face'], ['back', 'face']);
const pockets = (): Drawdown =>
  blockDrawdown(
    [
      [0, 1, 0],
      [1, 0, 1],
    ],
    [alternate, exchanged],
    64,
    40,
  );

describe('threads that join layers', () => {
  it.each<readonly [string, Drawdown]>([
    ['plain', plainWeave()],
    ['2/2 twill', twill([2, 2])],
    ['3/1/1/3 twill', twill([3, 1, 1, 3])],
    ['hopsack', hopsack(3)],
    ['warp rib', warpRib(3)],
    ...satinMoves(16).map((move) => [`16-end satin, move ${move}`, satin(16, move, 'weft')] as const),
    ['double plain', alternate],
    ['double twill', doubleCloth(twill([2, 2]), twill([2, 2]), ['face', 'back'], ['face', 'back'])],
    ['double plain, two face ends to a back end', doublePlain(['face', 'face', 'back'], ['face', 'face', 'back'])],
    ['double plain, picks 2 and 2', doublePlain(['face', 'back'], ['face', 'face', 'back', 'back'])],
  ])('none in %s', (_, weave) => {
    expect(joinsOf(checkedPiece(weave, 80, 96))).toEqual([]);
  });

  it('none where pockets change places from block to block', () => {
    expect(joinsOf(checkedPiece(pockets(), 80, 192))).toEqual([]);
  });

  it('each pick of pocket cloth, were one end raised or lowered wrongly in it, from edge to edge of the look (seed 71)', () => {
    const weave = pockets();
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 79 }), fc.integer({ min: 0, max: 191 }), (row, end) => {
        const cloth = checkedPiece(weave, 80, 192);
        const was = isWarpUp(cloth.drawdown, row, end);
        setWarpUp(cloth.drawdown, row, end, !was);
        // Only a crossing between the layers joins them: an end that must lie over every pick of the other layer, or under.
        const ofOther = joinsByHand(weave, row, end);
        const found = joinsOf(cloth).filter(([system]) => system === 'weft');
        expect(found).toEqual(ofOther ? [['weft', [row]]] : []);
      }),
      { seed: 71, numRuns: 80 },
    );
  });

  it('a stitch at every tenth pick is planned; one more between is not', () => {
    const cloth = checkedPiece(alternate, 100, 64);
    const stitch = (row: number) => {
      for (let end = 1; end < 64; end += 16) setWarpUp(cloth.drawdown, row, end, true);
    };
    // Face picks (even) with back ends (odd) raised on them.
    for (let row = 10; row < 100; row += 20) stitch(row);
    expect(joinsOf(cloth).filter(([system]) => system === 'weft')).toEqual([]);
    stitch(36);
    expect(joinsOf(cloth).filter(([system]) => system === 'weft')).toEqual([['weft', [36]]]);
  });

  it('two picks that join within one look of 16 are both found, side by side or apart (seed 72)', () => {
    fc.assert(
      fc.property(fc.integer({ min: 8, max: 50 }), fc.integer({ min: 1, max: 7 }), (first, gap) => {
        const cloth = checkedPiece(alternate, 64, 64);
        const picks = [first - (first % 2), first - (first % 2) + 2 * gap];
        // Face picks (even), each with one back end (odd) raised.
        for (const [k, row] of picks.entries()) setWarpUp(cloth.drawdown, row, 21 + 8 * k, true);
        expect(joinsOf(cloth).filter(([system]) => system === 'weft')).toEqual([['weft', picks]]);
      }),
      { seed: 72, numRuns: 60 },
    );
  });

  it('ends that change places leave layers as they are; one that works with both joins them', () => {
    const cloth = checkedPiece(alternate, 64, 64);
    for (let row = 0; row < 64; row++) {
      const [a, b] = [isWarpUp(cloth.drawdown, row, 20), isWarpUp(cloth.drawdown, row, 21)];
      setWarpUp(cloth.drawdown, row, 20, b);
      setWarpUp(cloth.drawdown, row, 21, a);
    }
    // A face end in a back end's place and the other way round are layers still: they have but changed places.
    expect(partsOf(cloth).count).toBe(2);
    expect(joinsOf(cloth)).toEqual([]);
    // A face end that works with the back picks as well holds the two together.
    for (let row = 1; row < 64; row += 4) setWarpUp(cloth.drawdown, row, 40, false);
    expect(joinsOf(cloth)).toContainEqual(['warp', [40]]);
  });

  it('keeps what is regular', () => {
    expect(unplanned([4, 8, 12, 16])).toEqual([]);
    expect(unplanned([4, 8, 11, 12, 40])).toEqual([11, 40]);
    expect(unplanned([3, 9])).toEqual([3, 9]);
  });
});

/** Whether a crossing of the pocket cloth, turned, ties its layers: its end and pick lie in different ones. */
function joinsByHand(weave: Drawdown, row: number, end: number): boolean {
  const crossed = complement(weave);
  // Within one layer of a plain weave, ends of that layer change side from pick to pick of it, two picks on.
  const other = row + 2 < weave.rows && Math.floor((row + 2) / 40) === Math.floor(row / 40) ? row + 2 : row - 2;
  return isWarpUp(weave, row, end) !== isWarpUp(crossed, other, end);
}

describe('the fold of a double width', () => {
  /** One weft round: face from left to right, back on the way home, so that both edges fold. */
  const tube = checkedPiece(alternate, 40, 40);
  const foldsOf = (cloth: CheckedCloth) => findFoldCrowding(cloth, partsOf(cloth));

  it('opened out, ends at the fold are closer than in the layers', () => {
    // By hand: layers 2 mm apart; about the fold 4, 2, 1, 2, 4 -> ends out at 0 2 4 and 1 3 5: 9 mm in 5 gaps, 2 / 1.8.
    expect(foldsOf(tube)).toEqual([]);
    const drawnIn = { ...tube, endXMm: Array.from(tube.endXMm, (x, end) => x - (end > 33 ? 0.5 * (end - 33) : 0)) };
    // Drawn in by half over the last six: 0 1 2 and .5 1.5 2.5: 4.5 mm in 5 gaps.
    const found = foldsOf(drawnIn);
    expect(found).toMatchObject([{ kind: 'crowdedFold', edge: 'right' }]);
    const [fold] = found;
    expect(fold.kind === 'crowdedFold' && fold.timesAsClose).toBeGreaterThan(1.9);
    expect(fold.kind === 'crowdedFold' && fold.timesAsClose).toBeLessThan(2.3);
  });

  it('no fold where each layer has its own weft', () => {
    const rowYarn = Array.from({ length: 40 }, (_, row) => row % 2);
    const rowEntersRight = Array.from({ length: 40 }, (_, row) => (row >> 1) % 2);
    const yarns = [tube.yarns[0], tube.yarns[0]];
    const endXMm = Array.from(tube.endXMm, (x, end) => x - (end > 33 ? 0.5 * (end - 33) : 0));
    expect(foldsOf({ ...tube, yarns, rowYarn, rowEntersRight, endXMm })).toEqual([]);
  });
});
