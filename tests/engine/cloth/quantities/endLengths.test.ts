import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { createDrawdown, setWarpUp } from '#engine/draft/drawdown.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const yarn = roundBody('rope', 0.45, 0.01);

describe('lengths of ends', () => {
  it('are the warp’s take-up, end by end', () => {
    const problem = clothProblem({ weave: plainWeave(), rows: 24, ends: 24, endsPerCm: 9, warp: [yarn], weft: [yarn] });
    const { readings } = finish(forecastCloth(problem, 'settled'));
    const factors = readings.endLengthFactor ?? new Float32Array();
    expect(factors).toHaveLength(24);
    const mean = factors.reduce((sum, factor) => sum + factor, 0) / 24;
    // Take-up is measured on a sample of segments, both to about a thousandth of the length.
    expect(Math.abs(mean - 1 / (1 - readings.warpTakeUp.value))).toBeLessThan(2e-3);
  });

  it('ends that change side at every pick take up more than those that change at every fourth', () => {
    const weave = createDrawdown(8, 24);
    for (let row = 0; row < 8; row++) {
      for (let end = 0; end < 24; end++) {
        const up = end < 12 ? (row + end) % 2 === 0 : (row + 2 * end) % 8 < 4;
        if (up) setWarpUp(weave, row, end, true);
      }
    }
    const problem = clothProblem({ weave, rows: 24, ends: 24, endsPerCm: 9, warp: [yarn], weft: [yarn] });
    const { readings } = finish(forecastCloth(problem, 'settled'));
    const factors = Array.from(readings.endLengthFactor ?? []);
    const mean = (from: number, to: number) =>
      factors.slice(from, to).reduce((sum, each) => sum + each, 0) / (to - from);
    expect(mean(2, 10)).toBeGreaterThan(mean(14, 22) + 0.002);
    // Let off longer from a second beam by a tenth, they take a tenth less from it for each metre.
    const endSlackShare = Float64Array.from({ length: 24 }, (_, end) => (end < 12 ? 0 : 0.1));
    const slack = finish(forecastCloth({ ...problem, endSlackShare }, 'settled')).readings.endLengthFactor;
    expect(slack?.[18]).toBeLessThan(factors[18] + 1e-3);
  });
});
