import { describe, expect, it } from 'vitest';
import { blendDistanceMm, contrastLeft, eyeSpreadPx } from '#render/eyeSpread.ts';

describe('what an eye tells apart at a distance', () => {
  it('threads of 0.6 mm blend beyond about 2 m, of 1.25 mm (8 to the cm) beyond about 4.3 m', () => {
    // 1 arcmin is 0.2909 mm at 1 m.
    expect(blendDistanceMm(0.6) / 1000).toBeCloseTo(0.6 / 0.2909, 3);
    expect(blendDistanceMm(1.25) / 1000).toBeCloseTo(4.3, 2);
  });

  it('two lines 1 arcmin wide each are read (normal sight), a pair of 1 arcmin is not', () => {
    for (const distanceMm of [300, 1000, 5000]) {
      const arcminMm = distanceMm * Math.tan(Math.PI / 10_800);
      // Contrast of an eye at 30 cycles a degree is between a quarter and a half of the full (Campbell & Gubisch 1966,
      // from memory); the least contrast that is seen at 60 is a few per cent.
      const read = contrastLeft(2 * arcminMm, distanceMm);
      expect(read).toBeGreaterThan(0.25);
      expect(read).toBeLessThan(0.5);
      expect(contrastLeft(arcminMm, distanceMm)).toBeLessThan(0.05);
    }
  });

  it('leaves less contrast the farther off and the finer the threads, and spreads as scale and distance', () => {
    expect(contrastLeft(1, 1000)).toBeGreaterThan(contrastLeft(1, 2000));
    expect(contrastLeft(2, 1000)).toBeGreaterThan(contrastLeft(1, 1000));
    expect(contrastLeft(2, 2000)).toBeCloseTo(contrastLeft(1, 1000), 12);
    expect(eyeSpreadPx(2000, 6)).toBeCloseTo(4 * eyeSpreadPx(1000, 3), 12);
  });
});
