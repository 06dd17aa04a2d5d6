import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { clothThickness } from '#engine/cloth/forecast/thickness.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const twill = drawdownFromRows([
  [1, 1, 0, 0],
  [0, 1, 1, 0],
  [0, 0, 1, 1],
  [1, 0, 0, 1],
]);
const fine = roundBody('20/2', 0.287, 0.0082, 59.05);
const stout = roundBody('8/2', 0.462, 0.016, 147.6);

const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

describe('thickness of a cloth', () => {
  it('is the mean of the highest tenth less that of the lowest tenth, as sorting all surfaces gives it', () => {
    const problem = clothProblem({
      weave: twill,
      rows: 60,
      ends: 50,
      endsPerCm: 14,
      warp: [fine, fine, stout],
      weft: [fine, stout],
      scatterShare: 0.2,
    });
    const { geometry } = finish(forecastCloth(problem, 'settled'));
    const { periodRows, periodEnds, warp, weft } = geometry;
    const top: number[] = [];
    const bottom: number[] = [];
    for (let row = 0; row < periodRows; row++) {
      for (let end = 0; end < periodEnds; end++) {
        const k = row * periodEnds + end;
        const wh = (problem.yarns[problem.endYarn[end]].contactHeightMm / 2) * warp.heightFactor[k];
        const fh = (problem.yarns[problem.rowYarn[row]].contactHeightMm / 2) * weft.heightFactor[k];
        top.push(Math.max(warp.heightMm[k] + wh, weft.heightMm[k] + fh));
        bottom.push(Math.min(warp.heightMm[k] - wh, weft.heightMm[k] - fh));
      }
    }
    const tenth = Math.max(1, Math.round(top.length / 10));
    top.sort((a, b) => b - a);
    bottom.sort((a, b) => a - b);
    const sorted = mean(top.slice(0, tenth)) - mean(bottom.slice(0, tenth));
    // A bin is 1/2048 of the range of surfaces, which is about the thickness.
    expect(Math.abs(finish(clothThickness(problem, geometry, 1e6)) - sorted)).toBeLessThan(sorted / 1000);
  });
});
