import { describe, expect, it } from 'vitest';
import { RESISTANCE_DOUBT } from '#engine/cloth/forecast/readings.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { fitBeat } from '#engine/cloth/swatch/fitBeat.ts';
import { fitShrinkage } from '#engine/cloth/swatch/fitShrinkage.ts';
import { halfWay, recutOrder } from '#engine/cloth/swatch/halfWay.ts';
import { beatOfLoom } from '#engine/cloth/swatch/loomBeat.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const plain = drawdownFromRows([
  [1, 0],
  [0, 1],
]);
/** As in the reference tests of the beat: 10/2 cotton, 24 ends an inch, 'fairly firm' (0.7), 21 picks an inch. */
const cotton = roundBody('10/2', 0.406, 0.0167, 118.1);
const balanced = clothProblem({
  weave: plain,
  rows: 81,
  ends: 40,
  endsPerCm: 24 / 2.54,
  warp: [cotton],
  weft: [cotton],
  endTensionN: 0.59,
});

function picksPerCm(problem: typeof balanced): number {
  const { rowYMm } = rowPositions(problem, false);
  return (10 * (problem.rows - 1)) / rowYMm[problem.rows - 1];
}

describe('the beat of a swatch', () => {
  it('the published balanced cloth itself gives a factor of 1 and a fairly firm beat', () => {
    const fitted = fitBeat(balanced, 21 / 2.54, 100);
    // The law's one constant was fitted on this cloth.
    expect(fitted.beatFactor).toBeGreaterThan(0.95);
    expect(fitted.beatFactor).toBeLessThan(1.05);
    expect(fitted.firmness).toBeCloseTo(0.7, 1);
  });

  it('put back on the loom, it forecasts what was counted', () => {
    for (const counted of [7, 8.5, 9.5]) {
      const { beatFactor } = fitBeat(balanced, counted, 100);
      const again = { ...balanced, beat: { ...balanced.beat, resistanceFactor: beatFactor } };
      expect(picksPerCm(again)).toBeCloseTo(counted, 3);
    }
  });

  it('counted over a shorter length it is less sure, in proportion', () => {
    const long = fitBeat(balanced, 8, 200).logDoubt;
    const short = fitBeat(balanced, 8, 50).logDoubt;
    expect(short / long).toBeGreaterThan(3);
    expect(short / long).toBeLessThan(6);
  });

  it('what cannot be beaten in with these yarns is refused, with where it jams', () => {
    expect(() => fitBeat(balanced, 40, 100)).toThrow(/jam at/);
    expect(() => fitBeat(balanced, 8, 0)).toThrow(/give the picks counted and the length/);
  });
});

describe('a loom that has swatches', () => {
  const firm = { beatFactor: 1.5, logDoubt: 0.05 };

  it('has none without', () => {
    expect(beatOfLoom(undefined)).toBeUndefined();
    expect(beatOfLoom([])).toBeUndefined();
  });

  it('forecasts nearer to its swatches and in a narrower range than a loom unknown, with every swatch more so', () => {
    const ranges = [1, 2, 4].map((count) => beatOfLoom(Array.from({ length: count }, () => firm))!);
    expect(ranges[0].resistanceDoubt).toBeLessThan(RESISTANCE_DOUBT);
    for (let k = 1; k < ranges.length; k++) {
      expect(ranges[k].resistanceDoubt).toBeLessThan(ranges[k - 1].resistanceDoubt);
      expect(Math.abs(Math.log(ranges[k].resistanceFactor / 1.5))).toBeLessThan(
        Math.abs(Math.log(ranges[k - 1].resistanceFactor / 1.5)),
      );
    }
  });

  it('believes a swatch counted over a short length less', () => {
    const sure = beatOfLoom([firm])!;
    const unsure = beatOfLoom([{ ...firm, logDoubt: 0.5 }])!;
    expect(unsure.resistanceFactor).toBeLessThan(sure.resistanceFactor);
    expect(unsure.resistanceDoubt).toBeGreaterThan(sure.resistanceDoubt);
  });
});

describe('shrinkage of a yarn from its cloth', () => {
  it('a straight yarn lost what its cloth lost', () => {
    expect(fitShrinkage(100, 92, 0).value).toBeCloseTo(0.08, 12);
  });

  it('a crimped one lost less: the rest is crimp gained', () => {
    const { value, low, high } = fitShrinkage(100, 92, 0.08);
    expect(value).toBeLessThan(0.08);
    expect(value).toBeGreaterThanOrEqual(low);
    expect(low).toBeCloseTo(0.04, 12);
    expect(high).toBeCloseTo(0.08, 12);
  });

  it('a cloth that grew, or lengths that cannot be, are told', () => {
    expect(fitShrinkage(100, 102, 0.05).value).toBeLessThan(0);
    expect(() => fitShrinkage(0, 10, 0)).toThrow(/above 0/);
    expect(() => fitShrinkage(10, 10, 1)).toThrow(/take-up 1/);
  });
});

describe('half way up', () => {
  const spacingMm = 10 / picksPerCm(balanced);
  const asPlanned = 40 * spacingMm;

  it('woven as planned, nothing needs to change', () => {
    const { stretch, plannedMm, keepPicks, recut, changeBeat } = halfWay(balanced, 40, asPlanned);
    expect(stretch).toBeCloseTo(1, 9);
    expect(plannedMm).toBeCloseTo(81 * spacingMm, 6);
    expect(keepPicks.error).toBeCloseTo(0, 9);
    expect(recut).toMatchObject({ picks: 41 });
    expect(changeBeat!.seen).toBe(false);
    expect(changeBeat!.firmness).toBeCloseTo(0.7, 3);
  });

  it('a fifth too tall: the error stays a fifth, or picks are left out, or the rest is beaten harder with a step', () => {
    const found = halfWay(balanced, 40, 1.2 * asPlanned);
    expect(found.keepPicks.error).toBeCloseTo(0.2, 9);
    // Left to weave: 81 − 48 = 33 old spacings, 27.5 of those woven now.
    expect([27, 28]).toContain(found.recut!.picks);
    expect(Math.abs(found.recut!.error)).toBeLessThan(0.5 * 1.2 * (1 / 81) + 1e-9);
    const { fromPicksPerCm, toPicksPerCm, seen, firmness } = found.changeBeat!;
    expect(toPicksPerCm / fromPicksPerCm).toBeCloseTo((41 * 1.2) / 33, 6);
    expect(seen).toBe(true);
    expect(firmness!).toBeGreaterThan(0.7);
  });

  it('a beat that cannot be had says where the rest jams', () => {
    expect(halfWay(balanced, 40, 1.9 * asPlanned).changeBeat).toMatchObject({ firmness: undefined });
    expect(halfWay(balanced, 40, 1.9 * asPlanned).changeBeat!.jam).toMatch(/jam at/);
  });

  it('taller already than the whole should be, only keeping on is left', () => {
    const found = halfWay(balanced, 60, 90 * spacingMm);
    expect(found.recut).toBeUndefined();
    expect(found.changeBeat).toBeUndefined();
  });

  it('figures that cannot be are refused', () => {
    expect(() => halfWay(balanced, 0, 10)).toThrow(/at least 1, and fewer than all/);
    expect(() => halfWay(balanced, 81, 10)).toThrow(/fewer than all/);
    expect(() => halfWay(balanced, 4, 0)).toThrow(/above 0/);
  });
});

describe('picks left out or woven twice', () => {
  it('come in whole groups at even distances, in order', () => {
    const fewer = recutOrder(40, 30, 2);
    expect(fewer).toHaveLength(30);
    for (let k = 0; k < fewer.length; k += 2) expect([fewer[k] % 2, fewer[k + 1] - fewer[k]]).toEqual([0, 1]);
    expect(fewer.every((pick, k) => k === 0 || pick > fewer[k - 1])).toBe(true);
    const steps = fewer.filter((_, k) => k % 2 === 0).map((pick, k, all) => (k > 0 ? pick - all[k - 1] : 2));
    expect(Math.max(...steps)).toBeLessThanOrEqual(4);
    const more = recutOrder(10, 14, 2);
    expect(more).toHaveLength(14);
    expect(new Set(more).size).toBe(10);
  });

  it('as many as there are are the same; a rest that fills no group goes with the last', () => {
    expect(recutOrder(6, 6, 2)).toEqual([0, 1, 2, 3, 4, 5]);
    expect(recutOrder(7, 7, 2).at(-1)).toBe(6);
  });
});
