import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import type { YarnUnevenness } from '#engine/yarn/yarnTypes.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const plain = drawdownFromRows([
  [1, 0],
  [0, 1],
]);
const even = roundBody('linen', 0.3, 0.02, 100);

function cloth(unevenness: YarnUnevenness | undefined, rows = 400, ends = 300) {
  const yarn = unevenness ? { ...even, unevenness } : even;
  const problem = clothProblem({ weave: plain, rows, ends, endsPerCm: 10, warp: [even], weft: [yarn] });
  return finish(forecastCloth(problem, 'preview'));
}

/** Mean, coefficient of variation, and correlation between neighbours along and across, of the weft's widths. */
function weftWidths(unevenness: YarnUnevenness) {
  const flat = cloth(undefined).geometry;
  const { geometry } = cloth(unevenness);
  const { periodRows, periodEnds, weft } = geometry;
  const at = (row: number, end: number) =>
    weft.widthFactor[row * periodEnds + end] /
    flat.weft.widthFactor[(row % flat.periodRows) * flat.periodEnds + (end % flat.periodEnds)];
  let sum = 0;
  let squares = 0;
  let along = 0;
  let across = 0;
  for (let row = 0; row < periodRows; row++) {
    for (let end = 0; end < periodEnds; end++) {
      sum += at(row, end);
      squares += (at(row, end) - 1) ** 2;
      along += (at(row, end) - 1) * (at(row, (end + 1) % periodEnds) - 1);
      across += (at(row, end) - 1) * (at((row + 1) % periodRows, end) - 1);
    }
  }
  const count = periodRows * periodEnds;
  return { mean: sum / count, cv: Math.sqrt(squares / count), along: along / squares, across: across / squares, at };
}

describe('uneven threads', () => {
  it('vary in width as much as their yarn does, along themselves and not with their neighbours', () => {
    const { mean, cv, along, across } = weftWidths({ widthCv: 0.08, halfWaveMm: 30 });
    expect(mean).toBeGreaterThan(0.98);
    expect(mean).toBeLessThan(1.02);
    expect(cv).toBeGreaterThan(0.8 * 0.08);
    expect(cv).toBeLessThan(1.2 * 0.08);
    expect(along).toBeGreaterThan(0.9);
    expect(Math.abs(across)).toBeLessThan(0.2);
  });

  it('leave the other family, all readings and an even cloth as they are', () => {
    const flat = cloth(undefined);
    const uneven = cloth({ widthCv: 0.08, halfWaveMm: 30 });
    expect(uneven.readings).toEqual(flat.readings);
    expect(flat.geometry.periodRows).toBeLessThan(10);
    expect(uneven.geometry.periodRows).toBeGreaterThanOrEqual(96);
    const { periodEnds, warp } = uneven.geometry;
    for (const [row, end] of [
      [0, 0],
      [17, 40],
      [95, 95],
    ]) {
      const known = (row % flat.geometry.periodRows) * flat.geometry.periodEnds + (end % flat.geometry.periodEnds);
      expect(warp.widthFactor[row * periodEnds + end]).toBe(flat.geometry.warp.widthFactor[known]);
      expect(warp.heightMm[row * periodEnds + end]).toBe(flat.geometry.warp.heightMm[known]);
    }
  });

  it('stay as they are when a pick far away is beaten otherwise', () => {
    const yarn = { ...even, unevenness: { widthCv: 0.08, halfWaveMm: 30 } };
    const problem = clothProblem({ weave: plain, rows: 60, ends: 40, endsPerCm: 10, warp: [even], weft: [yarn] });
    const before = finish(forecastCloth(problem, 'preview')).geometry;
    problem.beat.firmness[50] = 0.2;
    const after = finish(forecastCloth(problem, 'preview')).geometry;
    for (let end = 0; end < 40; end++) {
      const ratio =
        after.weft.widthFactor[10 * after.periodEnds + end] / before.weft.widthFactor[10 * before.periodEnds + end];
      expect(Math.abs(ratio - 1)).toBeLessThan(0.02);
    }
  });

  it('slubs swell to what the yarn says, as long and as often as it says, the ground thinner for them', () => {
    const slubs = { timesWidth: [2, 2], lengthMm: [50, 50], everyMm: [300, 300] } as const;
    const { at } = weftWidths({ widthCv: 0, halfWaveMm: 30, slubs });
    const widths = Array.from({ length: 96 * 96 }, (_, k) => at(Math.floor(k / 96), k % 96)).sort((a, b) => a - b);
    const ground = widths[0];
    expect(ground).toBeLessThan(1);
    expect(ground).toBeGreaterThan(0.8);
    expect(widths[widths.length - 1] / ground).toBeCloseTo(2, 1);
    // Half of a cosine's length lies above half its height; 96 mm of each of 96 picks.
    const thick = widths.filter((width) => width > 1.5 * ground).length / widths.length;
    expect(thick).toBeGreaterThan(0.6 * (25 / 300));
    expect(thick).toBeLessThan(1.6 * (25 / 300));
  });
});
