import { describe, expect, it } from 'vitest';
import { bundleUnevenness, yarnUnevenness } from '#engine/yarn/unevenness.ts';
import type { YarnFacts } from '#engine/yarn/yarnTypes.ts';

function facts(change: Partial<YarnFacts>): YarnFacts {
  return {
    id: 'yarn',
    name: 'spun yarn',
    fibre: 'cotton',
    tex: 100,
    plies: 1,
    fibreDensityGPerCm3: 1.52,
    packingFraction: 0.6,
    shape: 'round',
    bendingNmm2: [0.01, 0.02],
    compressibility: 'medium',
    ...change,
  };
}

describe('unevenness of spun yarns', () => {
  it('is never below what fibres laid at random give (Martindale 1945: 106 / √n % for cotton, 112 / √n % for wool)', () => {
    // Fibre finenesses: cotton 0.17 tex, wool of 22 µm 0.5 tex (common practice).
    for (const [fibre, fibreTex, limit] of [
      ['cotton', 0.17, 1.06],
      ['wool', 0.5, 1.12],
    ] as const) {
      for (const tex of [15, 36, 100, 400]) {
        const least = limit / Math.sqrt(tex / fibreTex) / 2;
        const found = yarnUnevenness(facts({ fibre, tex }))?.widthCv ?? 0;
        expect(found).toBeGreaterThanOrEqual(0.97 * Math.min(least, 0.15));
        expect(found).toBeLessThanOrEqual(0.15);
      }
    }
  });

  it('lies where yarn testers find it: carded ring cotton of 30 tex 13–18 % by mass, wet-spun linen of 41 tex 18–28 % (from memory)', () => {
    const massCv = (fibre: string, tex: number) => 2 * 100 * (yarnUnevenness(facts({ fibre, tex }))?.widthCv ?? 0);
    expect(massCv('cotton', 30)).toBeGreaterThan(13);
    expect(massCv('cotton', 30)).toBeLessThan(18);
    expect(massCv('linen', 41)).toBeGreaterThan(18);
    expect(massCv('linen', 41)).toBeLessThan(30.1);
  });

  it('falls with the root of the plies, which meet thick and thin by chance', () => {
    const single = yarnUnevenness(facts({ tex: 50 }))?.widthCv ?? 0;
    const twoPly = yarnUnevenness(facts({ tex: 100, plies: 2 }))?.widthCv ?? 0;
    expect(twoPly).toBeCloseTo(single / Math.SQRT2, 6);
  });

  it('is nothing in filament, film, wire, cord and strips', () => {
    for (const change of [
      { fibre: 'viscose filament' },
      { fibre: 'PET film, aluminised' },
      { name: 'cotton cord, braided' },
      { fibre: 'copper wire' },
      { shape: 'strip' as const, stripWidthMm: 6 },
    ]) {
      expect(yarnUnevenness(facts(change)), JSON.stringify(change)).toBeUndefined();
    }
  });

  it('of two alike strands side by side is that of one over √2', () => {
    const strand = { tex: 50, unevenness: { widthCv: 0.08, halfWaveMm: 40 } };
    expect(bundleUnevenness([strand, strand])?.widthCv).toBeCloseTo(0.08 / Math.SQRT2, 6);
    expect(bundleUnevenness([{ tex: 20 }])).toBeUndefined();
  });
});
