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

describe('what was laid, read from a cloth off the loom', () => {
  it('is what the cloth on the loom says: threads keep their lengths', () => {
    const on = finish(forecastCloth(problem, 'settled')).readings;
    const off = readingsOnLoom(
      finish(forecastCloth(problem, 'settled', {}, { state: 'offLoom', treatment: 'none' })).readings,
    );
    const laid = readingsOnLoom(on);
    // The readings themselves measure take-up to about a thousandth and lengths to their window.
    expect(off.lengthMm.value / laid.lengthMm.value).toBeCloseTo(1, 2);
    expect(off.widthMm / laid.widthMm).toBeCloseTo(1, 2);
    expect(off.picksPerCm / laid.picksPerCm).toBeCloseTo(1, 2);
    expect(off.weftTakeUp).toBeCloseTo(laid.weftTakeUp, 2);
    expect(off.warpTakeUp).toBeCloseTo(laid.warpTakeUp, 2);
    expect(laid.warpTakeUp).toBeCloseTo(on.warpTakeUp, 3);
  });
});
