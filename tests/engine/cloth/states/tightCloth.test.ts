import { describe, expect, it } from 'vitest';
import { heightFromCrimp } from '#engine/cloth/peirce/peirce.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { settleStates } from '#engine/cloth/states/clothStates.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { plainWeave, twill } from '#engine/weave/basicWeaves.ts';
import { finish } from '#tests/helpers/finish.ts';
import { lossesOf, presetYarn, problemOf } from '#tests/reference/forecast/cloths.ts';
import { lengthsOf } from './lengthsOf.ts';

const yarn = presetYarn('cotton-10-2');
const clothAt = (weave: Drawdown, endsPerCm: number, picksPerCm: number) => ({
  weave,
  warp: [yarn],
  weft: [yarn],
  endsPerCm,
  picksPerCm,
  treatment: 'handWashed' as const,
});

describe('cloth from open to as close as it is beaten', () => {
  it.each([6, 9, 12, 14])(
    'plain at %d picks/cm: threads are as long as Peirce’s path round the same heights takes, and up to an eighth more',
    (picksPerCm) => {
      // F. T. Peirce 1937: arcs and straights, the shortest way round sections; bending takes a wider one.
      const problem = problemOf(clothAt(plainWeave(), 9.45, picksPerCm));
      const states = finish(settleStates(problem, rowPositions(problem, false).rowYMm, { treatment: 'handWashed' }));
      for (const state of ['onLoom', 'offLoom', 'finished'] as const) {
        const { warpCrimp, weftCrimp, warpRiseMm, weftRiseMm, endPitchMm, pickPitchMm } = lengthsOf(
          problem,
          states[state],
        );
        const sum = warpRiseMm + weftRiseMm;
        const peirce = heightFromCrimp(pickPitchMm, warpCrimp, sum) + heightFromCrimp(endPitchMm, weftCrimp, sum);
        expect(peirce / sum, state).toBeGreaterThan(1);
        expect(peirce / sum, state).toBeLessThan(1.125);
      }
    },
  );

  it.each([
    ['plain', plainWeave(), 9.45, 14],
    ['2/2 twill', twill([2, 2]), 11, 16],
  ] as const)('%s: what is lost changes evenly with the picks, without a jump', (_, weave, endsPerCm, most) => {
    let before: ReturnType<typeof lossesOf> | undefined;
    for (let picks = 8; picks <= most; picks++) {
      const losses = lossesOf(clothAt(weave, endsPerCm, picks));
      if (before)
        for (const size of ['offWidth', 'finishedWidth', 'offLength', 'finishedLength'] as const)
          expect(Math.abs(losses[size] - before[size]), `${size} at ${picks} picks/cm`).toBeLessThan(0.025);
      before = losses;
    }
  });
});
