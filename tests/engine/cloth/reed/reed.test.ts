import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { closedUp, evenPlaces, REED_MARKS_CLOSED, reedMarksClosed } from '#engine/cloth/reed/closing.ts';
import { dentEnds } from '#engine/cloth/reed/denting.ts';
import { spreadTension } from '#engine/cloth/reed/tensionSpread.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const gaps = (x: Float64Array) => Array.from(x.subarray(1), (value, k) => value - x[k]);
const reed = { dentsPerCm: 4, endsPerDent: [2], wireShare: 0.3 };

describe('ends in the reed', () => {
  it('of one dent lie between its wires, parted from the next dent by the wire', () => {
    const { xMm, dentOf, widthMm } = dentEnds(reed, 8);
    expect(widthMm).toBeCloseTo(10, 12);
    xMm.forEach((x, end) => {
      const within = x / 2.5 - dentOf[end];
      expect(within).toBeGreaterThan(0.15);
      expect(within).toBeLessThan(0.85);
    });
    // 0.7 of a dent for two ends: 0.875 mm between them, 2.5 − 0.875 over the wire.
    gaps(xMm).forEach((gap, k) => void expect(gap).toBeCloseTo(k % 2 === 0 ? 0.875 : 1.625, 12));
  });

  it('"2 2 0 3" leaves its third dent empty, and begins again', () => {
    const { dentOf, endsPerDent } = dentEnds({ ...reed, endsPerDent: [2, 2, 0, 3] }, 9);
    expect([...dentOf]).toEqual([0, 0, 1, 1, 3, 3, 3, 4, 4]);
    expect([...endsPerDent]).toEqual([2, 2, 0, 3, 2]);
  });

  it('empty dents before the first end are no part of the cloth', () => {
    expect(dentEnds({ ...reed, endsPerDent: [0, 0, 2] }, 2).xMm[0]).toBeLessThan(2.5);
  });

  it('an order of empty dents alone is refused', () => {
    expect(() => dentEnds({ ...reed, endsPerDent: [0, 0] }, 2)).toThrow(/at least one dent/);
  });
});

describe('reed marks', () => {
  const dented = dentEnds(reed, 24);
  const even = evenPlaces(dented);

  it('once closed, ends of an even sett are evenly spaced over the reed’s width', () => {
    even.forEach((x, end) => void expect(x).toBeCloseTo((end + 0.5) * 1.25, 9));
  });

  it('close the more, the larger the share, and nothing passes its neighbour', () => {
    const spreadOf = (share: number) => {
      const found = gaps(closedUp(dented.xMm, even, share));
      expect(Math.min(...found)).toBeGreaterThan(0);
      return Math.max(...found) - Math.min(...found);
    };
    const stages = [REED_MARKS_CLOSED.onLoom, REED_MARKS_CLOSED.offLoom, REED_MARKS_CLOSED.washed];
    const found = [0, ...stages, 1].map(spreadOf);
    for (let k = 1; k < found.length; k++) expect(found[k]).toBeLessThan(found[k - 1]);
    expect(found.at(-1)).toBeLessThan(1e-9);
  });

  // Needs of weavers (practice): metal keeps its reed marks.
  it('wire keeps them where cotton’s close', () => {
    expect(reedMarksClosed('washed', 'none')).toBeLessThan(0.4);
    expect(reedMarksClosed('washed', 'medium')).toBeGreaterThan(0.9);
  });

  it.each([[[1, 2]], [[1, 1, 2]], [[2, 3]]])('ends sleyed %j about to reach a sett even out', (endsPerDent) => {
    const places = gaps(evenPlaces(dentEnds({ ...reed, endsPerDent }, 60)));
    for (const gap of places) expect(gap).toBeCloseTo(places[0], 9);
  });

  it('crammed stripes and empty dents stay', () => {
    const crammed = gaps(evenPlaces(dentEnds({ ...reed, endsPerDent: [1, 1, 1, 1, 4, 4, 4, 4] }, 20)));
    expect(Math.max(...crammed) / Math.min(...crammed)).toBeGreaterThan(3.5);
    const open = gaps(evenPlaces(dentEnds({ ...reed, endsPerDent: [2, 2, 2, 0, 0] }, 12)));
    expect(open[5]).toBeCloseTo(2 * 2.5 + 1.25, 9);
  });
});

describe('tension from end to end', () => {
  it('seed 7: mean and coefficient of variation come out as given, and the same seed gives the same ends', () => {
    const share = 0.1;
    const found = spreadTension(4000, 0.8, share, 7);
    const mean = found.reduce((sum, value) => sum + value, 0) / found.length;
    const deviation = Math.sqrt(found.reduce((sum, value) => sum + (value - mean) ** 2, 0) / found.length);
    // Standard errors: 0.1/√4000 = 0.16 % of the mean, 1/√8000 = 1.1 % of the deviation; four of each allowed.
    expect(Math.abs(mean / 0.8 - 1)).toBeLessThan(4 * 0.0016);
    expect(Math.abs(deviation / (0.8 * share) - 1)).toBeLessThan(4 * 0.011);
    expect([...spreadTension(4000, 0.8, share, 7)]).toEqual([...found]);
    expect([...spreadTension(5, 0.8, share, 8)]).not.toEqual([...found.subarray(0, 5)]);
  });

  it('slack ends wave more than tight ones (common practice: they stand up and show as streaks)', () => {
    const cotton = roundBody('8/2', 0.462, 0.016, 147.6);
    const problem = clothProblem({
      weave: drawdownFromRows([
        [1, 0],
        [0, 1],
      ]),
      rows: 24,
      ends: 24,
      endsPerCm: 8,
      warp: [cotton],
      weft: [cotton],
    });
    const endTensionN = problem.endTensionN.map((mean, end) => mean * (end % 4 < 2 ? 0.5 : 1.5));
    const { geometry } = finish(forecastCloth({ ...problem, endTensionN }, 'settled'));
    expect(geometry.residuals.converged).toBe(true);
    const wave = (end: number) => {
      let most = 0;
      for (let row = 10; row < 14; row++) {
        const at = (row % geometry.periodRows) * geometry.periodEnds + (end % geometry.periodEnds);
        most = Math.max(most, Math.abs(geometry.warp.heightMm[at]));
      }
      return most;
    };
    expect(wave(12)).toBeGreaterThan(1.1 * wave(14));
  });
});
