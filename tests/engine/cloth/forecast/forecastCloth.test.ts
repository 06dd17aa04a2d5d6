import { describe, expect, it } from 'vitest';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type Forecast, forecastCloth, type Quality } from '#engine/cloth/forecast/forecastCloth.ts';
import { mechanicalPeriod } from '#engine/cloth/forecast/mechanicalPeriod.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const plain = drawdownFromRows([
  [1, 0],
  [0, 1],
]);
const satin5 = drawdownFromRows([
  [1, 0, 0, 0, 0],
  [0, 0, 1, 0, 0],
  [0, 0, 0, 0, 1],
  [0, 1, 0, 0, 0],
  [0, 0, 0, 1, 0],
]);
const doublePlain = drawdownFromRows([
  [1, 0, 0, 0],
  [1, 1, 1, 0],
  [0, 0, 1, 0],
  [1, 0, 1, 1],
]);
/** Cotton 8/2: 0.462 mm, B the geometric mean of 0.0066 and 0.039 N mm² (yarn facts). */
const cotton = roundBody('8/2', 0.462, 0.016, 147.6);
const cord = roundBody('cord', 2, 1.4, 2000);
const base = { weave: plain, rows: 60, ends: 48, endsPerCm: 20 / 2.54, warp: [cotton], weft: [cotton] };

function run(problem: ClothProblem, quality: Quality = 'settled'): Forecast {
  return finish(forecastCloth(problem, quality));
}

describe('mechanical period', () => {
  it('ignores colour and name, minds yarn, weave and beat', () => {
    const twin = { ...cotton, id: 'red', strands: ['red'] };
    expect(mechanicalPeriod(clothProblem({ ...base, warp: [cotton, twin, twin] }))).toEqual({ rows: 2, ends: 2 });
    expect(mechanicalPeriod(clothProblem({ ...base, weft: [cotton, cord, cotton] }))).toEqual({ rows: 6, ends: 2 });
    const problem = clothProblem(base);
    problem.beat.firmness[30] = 0.2;
    expect(mechanicalPeriod(problem).rows).toBeGreaterThan(20);
  });
});

describe('forecast of a cloth on the loom', () => {
  it('plain 8/2 cotton at 20 ends/in: thickness between two and one and a half yarns, both faces alike, few gaps', () => {
    const { geometry, readings } = run(clothProblem(base));
    expect(geometry.residuals.converged).toBe(true);
    expect(geometry.periodRows * geometry.periodEnds).toBeLessThan(48 * 60);
    expect(readings.thicknessMm.value).toBeGreaterThan(1.9 * 0.462);
    expect(readings.thicknessMm.value).toBeLessThan(3 * 0.462);
    expect(Math.abs(readings.face.warp - readings.back.warp)).toBeLessThan(0.03);
    expect(readings.face.warp + readings.face.weft + readings.face.open).toBeCloseTo(1, 6);
    // Kw + Kf − Kw·Kf of straight threads (Peirce 1937) is what looking down on them must give.
    const kw = (0.462 * readings.endsPerCm.value) / 10;
    const kf = (0.462 * readings.picksPerCm.value) / 10;
    expect(Math.abs(1 - readings.face.open - (kw + kf - kw * kf))).toBeLessThan(0.01);
  });

  it('weight is the threads’ own: within 3 % of tex times threads times take-up', () => {
    const { readings } = run(clothProblem(base));
    const straight =
      14.76 *
      (readings.endsPerCm.value / (1 - readings.warpTakeUp.value) +
        readings.picksPerCm.value / (1 - readings.weftTakeUp.value));
    expect(Math.abs(readings.weightGPerM2.value / straight - 1)).toBeLessThan(0.03);
  });

  it('5-end satin: each face shows what straight threads in that weave would, the back the complement', () => {
    const { readings } = run(clothProblem({ ...base, weave: satin5, endsPerCm: 12 }));
    const kw = (0.462 * readings.endsPerCm.value) / 10;
    const kf = (0.462 * readings.picksPerCm.value) / 10;
    // One crossing in five is warp-up: weft shows between the ends and over four fifths of the crossings.
    const weft = kf * (1 - kw) + 0.8 * kf * kw;
    const warp = kw * (1 - kf) + 0.2 * kf * kw;
    // Threads that slope round a crossing part from straight ones by a few hundredths.
    expect(Math.abs(readings.face.weft - weft)).toBeLessThan(0.04);
    expect(Math.abs(readings.face.warp - warp)).toBeLessThan(0.04);
    expect(readings.back.warp - readings.face.warp).toBeGreaterThan(0.4 * kf * kw);
  });

  it('double plain is thicker than plain of the same yarns', () => {
    const single = run(clothProblem(base)).readings.thicknessMm.value;
    const double = run(clothProblem({ ...base, weave: doublePlain, endsPerCm: 40 / 2.54 })).readings.thicknessMm.value;
    expect(double).toBeGreaterThan(1.25 * single);
  });

  it('a cord makes the piece longer and thicker', () => {
    const even = run(clothProblem(base)).readings;
    const corded = run(clothProblem({ ...base, weft: [cotton, cord] })).readings;
    expect(corded.lengthMm.value).toBeGreaterThan(1.2 * even.lengthMm.value);
    expect(corded.thicknessMm.value).toBeGreaterThan(even.thicknessMm.value);
  });

  it('a repeat and the same cloth solved whole agree in the middle within 2 % of D', () => {
    const repeated = run(clothProblem(base));
    const problem = clothProblem(base);
    // A beat change at the very last pick leaves no whole repeat, so that the whole cloth is solved.
    problem.beat.firmness[59] = 0.75;
    const whole = run(problem);
    expect(whole.geometry.periodRows).toBe(60);
    const at = (forecast: Forecast, row: number, end: number) => {
      const { warp, periodRows, periodEnds } = forecast.geometry;
      return warp.heightMm[(row % periodRows) * periodEnds + (end % periodEnds)];
    };
    for (const [row, end] of [
      [30, 24],
      [31, 24],
      [31, 25],
      [28, 20],
    ]) {
      expect(Math.abs(at(repeated, row, end) - at(whole, row, end))).toBeLessThan(0.02 * 0.462);
    }
  });

  it('a settled forecast and its preview agree within 5 % of D', () => {
    const problem = clothProblem({ ...base, weave: satin5, endsPerCm: 12 });
    const preview = run(problem, 'preview').geometry.warp.heightMm;
    const settled = run(problem, 'settled').geometry.warp.heightMm;
    let worst = 0;
    for (let k = 0; k < settled.length; k++) worst = Math.max(worst, Math.abs(preview[k] - settled[k]));
    expect(worst).toBeLessThan(0.05 * 0.462);
  });

  it('ranges hold the value', () => {
    const { readings } = run(clothProblem(base));
    for (const reading of [readings.picksPerCm, readings.lengthMm, readings.thicknessMm, readings.weightGPerM2]) {
      expect(reading.low).toBeLessThan(reading.value);
      expect(reading.high).toBeGreaterThan(reading.value);
    }
  });
});
