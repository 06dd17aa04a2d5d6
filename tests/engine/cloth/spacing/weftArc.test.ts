import { describe, expect, it } from 'vitest';
import { arcLength } from '#engine/cloth/spacing/weftArc.ts';

describe('the arc of a weft', () => {
  it('a half circle is π/2 of its chord', () => expect(arcLength(400, 200)).toBeCloseTo(Math.PI / 2, 12));

  it('is as long as its points by steps, shallow or high', () => {
    for (const [chord, height] of [
      [400, 20],
      [400, 60],
      [900, 450],
      [100, 130],
    ]) {
      const radius = (chord ** 2 / 4 + height ** 2) / (2 * height);
      const half = height > radius ? Math.PI - Math.asin(chord / 2 / radius) : Math.asin(chord / 2 / radius);
      let sum = 0;
      for (let k = 0; k < 20_000; k++) {
        const [a, b] = [(2 * k) / 20_000 - 1, (2 * k + 2) / 20_000 - 1].map((u) => u * half);
        sum += radius * Math.hypot(Math.sin(b) - Math.sin(a), Math.cos(b) - Math.cos(a));
      }
      expect(arcLength(chord, height)).toBeCloseTo(sum / chord, 6);
    }
  });

  it('shallow ones are 8/3 (h/W)² longer than straight (closed form of the first order)', () => {
    expect((arcLength(1, 0.01) - 1) / (8 / 3 / 10_000)).toBeCloseTo(1, 3);
    expect(arcLength(400, 0)).toBe(1);
  });
});
