import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { pillowMm } from '#engine/cloth/relief/pillows.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import cordCard from '#presets/yarns/cotton-cord-3.json';
import looseCard from '#presets/yarns/loose-fibre-inlay.json';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';

const bodyOf = (card: object) => yarnBody(yarnFactsOf(card as YarnRecord));
const [cotton, cord, loose] = [cottonCard, cordCard, looseCard].map(bodyOf);

describe('loose fibre between ends', () => {
  it('regains nothing where ends lie close, and all where they are far apart', () => {
    expect(pillowMm(2, 1, 0)).toBe(0);
    expect(pillowMm(2, 1, 20)).toBeCloseTo(1, 6);
    // Pressure spreads 2 : 1, so at one rest height of room 1 − e⁻² of it is back.
    expect(pillowMm(2, 1, 2)).toBeCloseTo(1 - Math.exp(-2), 9);
    expect(pillowMm(1, 2, 2)).toBe(0);
  });

  /** Of the loose weft in a plain ground: how much higher its sections are than pressed, as drawn, and where its surfaces lie. */
  function woven(endsPerCm: number, weft = loose) {
    const wefts = [cotton, cotton, cotton, cotton, cotton, weft];
    const problem = clothProblem({ weave: plainWeave(), rows: 36, ends: 40, endsPerCm, warp: [cotton], weft: wefts });
    const { geometry, problem: there } = finish(forecastCloth(problem, 'preview'));
    const at = (end: number) => (17 % geometry.periodRows) * geometry.periodEnds + (end % geometry.periodEnds);
    const body = there.yarns[there.rowYarn[17]];
    const surfaces = [20, 21].map((end) => {
      const half = (body.contactHeightMm * geometry.weft.heightFactor[at(end)]) / 2;
      const under = isWarpUp(there.drawdown, 17, end) ? 1 : -1;
      const z = geometry.weft.heightMm[at(end)];
      return { pressed: under * z + half, free: -under * z + half, height: 2 * half };
    });
    return { body, surfaces };
  }

  it('rises further between ends set wider, and a cord does not (common practice)', () => {
    const [open, close] = [woven(5), woven(10)];
    expect(open.body.looseFibre).toBe(true);
    for (const { surfaces } of [open, close])
      for (const { pressed, free } of surfaces) expect(free).toBeGreaterThan(pressed);
    expect(open.surfaces[0].height).toBeGreaterThan(1.1 * close.surfaces[0].height);
    expect(open.surfaces[0].height).toBeLessThan(1.3 * open.body.bodyHeightMm);
    expect(woven(5, cord).body.looseFibre).toBeUndefined();
  });
});
