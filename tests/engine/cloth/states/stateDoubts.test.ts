import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { plainWeave, satin } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothOf, cotton } from './stateCloths.ts';

describe('what is not known', () => {
  const readIn = (state: ClothState, more: object = {}) =>
    finish(
      forecastCloth(clothOf(plainWeave(), cotton, cotton, more), 'settled', {}, { state, treatment: 'handWashed' }),
    ).readings;
  const share = ({ value, low, high }: { value: number; low: number; high: number }) => (high - low) / value;

  it('is in every figure, and the more the longer the cloth’s way: a wash adds the fibre’s doubt to the loom’s', () => {
    const [loom, washed] = [readIn('onLoom'), readIn('finished')];
    for (const name of ['picksPerCm', 'endsPerCm', 'widthMm', 'lengthMm', 'weightGPerM2'] as const) {
      expect(share(loom[name])).toBeGreaterThan(0.02);
      // Across, the fell's doubt goes as the cloth leaves the loom, about as much as the fibre's adds.
      const across = name === 'endsPerCm' || name === 'widthMm';
      expect(share(washed[name]), name).toBeGreaterThan((across ? 0.9 : 1) * share(loom[name]));
    }
    for (const { thicknessMm, warpTakeUp, weftTakeUp } of [loom, washed]) {
      expect(share(thicknessMm)).toBeGreaterThan(0.1);
      for (const { value, low, high } of [warpTakeUp, weftTakeUp]) {
        expect(low).toBeLessThan(0.9 * value);
        expect(high).toBeGreaterThan(1.1 * value);
      }
    }
  });

  it('leaves the beat out where picks are counted: length on the loom is then known, weight better', () => {
    const free = readIn('onLoom');
    const counted = readIn('onLoom', { fixedPicksPerCm: free.picksPerCm.value });
    expect(share(counted.lengthMm)).toBeCloseTo(0, 9);
    expect(share(counted.weightGPerM2)).toBeLessThan(0.8 * share(free.weightGPerM2));
  });
});

describe('the outline along the cloth', () => {
  it('eases from a weave that draws in little to one that draws in more, in every state', () => {
    const weave = blockDrawdown([[0], [1]], [satin(8, 3, 'warp'), plainWeave()], 48, 120);
    const problem = clothOf(weave, cotton, cotton, { rows: 240, fixedPicksPerCm: 7 });
    const { readings } = finish(forecastCloth(problem, 'settled', {}, { state: 'offLoom', treatment: 'none' }));
    if (!readings.outlines || !readings.sizes) throw new Error('a settled forecast tells outlines');
    const { reedWidthMm } = readings.sizes;
    for (const points of Object.values(readings.outlines)) {
      const [first, last] = [points[0], points[points.length - 1]];
      // Plain weave above draws in more than satin below (common practice).
      expect(last.widthMm).toBeLessThan(first.widthMm);
      expect(first.widthMm).toBeLessThanOrEqual(reedWidthMm * 1.001);
      points.forEach(({ atMm, widthMm }, k) => {
        if (k === 0) return;
        expect(atMm).toBeGreaterThan(points[k - 1].atMm);
        expect(widthMm).toBeLessThanOrEqual(points[k - 1].widthMm + 1e-9);
      });
    }
  });
});
