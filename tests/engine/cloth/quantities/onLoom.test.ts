import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { readingsOnLoom } from '#engine/cloth/quantities/onLoom.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const cotton = roundBody('8/2', 0.462, 0.016, 147.6);
const problem = clothProblem({
  weave: drawdownFromRows([
    [1, 0],
    [0, 1],
  ]),
  rows: 60,
  ends: 60,
  endsPerCm: 8,
  warp: [cotton],
  weft: [cotton],
});

describe('what was laid, read from a cloth in any state', () => {
  const on = finish(forecastCloth(problem, 'settled')).readings;
  const laid = readingsOnLoom(on);

  it.each([
    ['offLoom', 'none'],
    ['finished', 'none'],
    ['finished', 'machineWashed'],
    ['finished', 'tumbled'],
  ] as const)('is what the cloth on the loom says: %s, %s', (state, treatment) => {
    const read = readingsOnLoom(finish(forecastCloth(problem, 'settled', {}, { state, treatment })).readings);
    // Lengths are measured to their window.
    expect(read.lengthMm.value / laid.lengthMm.value).toBeCloseTo(1, 2);
    expect(read.widthMm / laid.widthMm).toBeCloseTo(1, 2);
    expect(read.picksPerCm / laid.picksPerCm).toBeCloseTo(1, 2);
    // One yarn is wound for the cloth, however it is washed: to a thousandth of its length.
    expect(Math.abs(read.weftTakeUp.value - laid.weftTakeUp.value)).toBeLessThan(1e-3);
    expect(Math.abs(read.warpTakeUp.value - laid.warpTakeUp.value)).toBeLessThan(1e-3);
  });

  it('is the take-up of the threads as drawn on the loom', () => {
    expect(laid.warpTakeUp.value).toBeCloseTo(on.warpTakeUp.value, 2);
    expect(laid.weftTakeUp.value).toBeCloseTo(on.weftTakeUp.value, 2);
    expect(laid.warpTakeUp.value).toBeGreaterThan(0.005);
  });
});
