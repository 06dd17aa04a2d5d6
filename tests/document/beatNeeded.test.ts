import { describe, expect, it } from 'vitest';
import { beatNeeded } from '#document/beatNeeded.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { smallSample } from './smallSample.ts';

describe('the beat that picks wanted need', () => {
  it('is the one that gives those picks, with each pick its own step to the others', () => {
    const small = smallSample();
    const wanted = { ...small, beat: { ...small.beat, scatterPercent: 0, fixedPicksPerCm: 7 } };
    const { problem } = toClothProblem(wanted);
    const asked = rowPositions(problem, false);
    const { firmness, hardest } = beatNeeded(wanted, asked.firmnessNeeded!);
    // Woven by that beat, and with the softer pick as much softer, the picks come out as wanted.
    const picks = small.picks.map((pick) =>
      pick.beat === undefined ? pick : { ...pick, beat: firmness + pick.beat - small.beat.firmness },
    );
    const beaten = toClothProblem({ ...small, picks, beat: { ...small.beat, scatterPercent: 0, firmness } });
    const { rowYMm } = rowPositions(beaten.problem, false);
    rowYMm.forEach((y, row) => {
      expect(y).toBeCloseTo(asked.rowYMm[row], 3);
    });
    expect(hardest).toBe(firmness);
  });

  it('knows the pick that is beaten hardest', () => {
    const small = smallSample();
    const picks = small.picks.map((pick, k) => (k === 2 ? { ...pick, beat: 0.9 } : pick));
    const { firmness, hardest } = beatNeeded({ ...small, picks }, 0.85);
    expect(hardest - firmness).toBeCloseTo(0.2, 9);
  });
});
