import { describe, expect, it } from 'vitest';
import { tensionAfterPause, tensionLeftByPick } from '#engine/cloth/spacing/pause.ts';
import { pickDensity } from '#engine/cloth/spacing/pickDensity.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const plain = drawdownFromRows([
  [1, 0],
  [0, 1],
]);
/** 8/2 cotton at 8 ends to the cm, as in the reference tests of the beat. */
const cotton = roundBody('8/2', 0.462, 0.016, 147.6);
const base = { weave: plain, rows: 120, ends: 40, endsPerCm: 8, warp: [cotton], weft: [cotton], endTensionN: 0.74 };
const even = clothProblem(base);

function paused(minutes: number, before = 60) {
  const tensionLeft = tensionLeftByPick(Array.from({ length: 120 }, (_, k) => (k === before ? minutes : undefined)));
  return { ...even, beat: { ...even.beat, ...(tensionLeft ? { tensionLeft } : {}) } };
}

describe('a pause at the loom', () => {
  it('slackens the warp evenly with the logarithm of time (Meredith 1954, from memory)', () => {
    const lost = [10, 100, 1000].map((minutes) => 1 - tensionAfterPause(minutes - 1));
    expect(lost[1] - lost[0]).toBeCloseTo(lost[2] - lost[1], 9);
    expect(tensionAfterPause(0)).toBe(1);
  });

  it('leaves a bar: the first pick lies closest, and within six picks it has worn off (bars of few picks, common practice)', () => {
    const marked = rowPositions(paused(960), true).rowYMm;
    const plainly = rowPositions(even, true).rowYMm;
    const closer = (row: number) => 1 - (marked[row] - marked[row - 1]) / (plainly[row] - plainly[row - 1]);
    expect(closer(59)).toBeCloseTo(0, 9);
    expect(closer(60)).toBeGreaterThan(0.05);
    for (let row = 61; row < 66; row++) expect(closer(row)).toBeLessThan(closer(row - 1));
    expect(closer(66)).toBeLessThan(closer(60) / 10);
  });

  it('is no matter of the structure: without the hand’s unevenness the picks are where they were', () => {
    expect(rowPositions(paused(960), false).rowYMm).toEqual(rowPositions(even, false).rowYMm);
    expect(tensionLeftByPick([undefined, 0])).toBeUndefined();
  });
});

describe('picks counted along the cloth', () => {
  it('an even cloth under an even beat is even in all three', () => {
    const { variation, structure, woven } = pickDensity(even, 20);
    expect(Math.max(variation.structure, variation.beat, variation.hand)).toBeLessThan(1e-9);
    expect(woven[60]).toBeCloseTo(structure[60], 9);
  });

  it('a change of weave is told as structure, not as the hand', () => {
    const half = drawdownFromRows(
      Array.from({ length: 120 }, (_, row) =>
        Array.from({ length: 40 }, (_, end) => (row < 60 ? (row + end) % 2 : (((end - row) % 4) + 4) % 4 < 2 ? 1 : 0)),
      ),
    );
    const { structure, variation } = pickDensity({ ...even, drawdown: half }, 20);
    // Twill takes more picks than plain (common practice).
    expect(structure[100]).toBeGreaterThan(1.05 * structure[20]);
    expect(variation.structure).toBeGreaterThan(0.02);
    expect(variation.hand).toBeLessThan(1e-9);
  });

  it('a beat that tightens is told as the beat; scatter and pauses as the hand', () => {
    const firmness = Float64Array.from({ length: 120 }, (_, k) => 0.5 + (0.4 * k) / 119);
    const creeping = pickDensity({ ...even, beat: { ...even.beat, firmness } }, 20);
    expect(creeping.meant[110]).toBeGreaterThan(1.1 * creeping.meant[10]);
    expect(creeping.variation.structure).toBeLessThan(1e-9);
    expect(creeping.variation.beat).toBeGreaterThan(0.03);
    const uneven = pickDensity({ ...even, beat: { ...even.beat, scatterShare: 0.2 } }, 20);
    expect(uneven.variation.beat).toBeLessThan(1e-9);
    expect(uneven.variation.hand).toBeGreaterThan(0.005);
    expect(pickDensity(paused(960), 4).variation.hand).toBeGreaterThan(0.005);
  });
});
