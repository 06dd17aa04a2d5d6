import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hexFromLinear, linearFromHex, meanLinear } from '#engine/colour/colour.ts';

const seed = 255;

describe('colour codes', () => {
  it(`come back from linear light (random codes, seed ${seed})`, () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 0xffffff }), (code) => {
        const hex = `#${code.toString(16).padStart(6, '0')}`;
        expect(hexFromLinear(linearFromHex(hex))).toBe(hex);
      }),
      { seed, numRuns: 500 },
    );
  });
  it('are read in three digits too, clipped when written, and refused when wrong', () => {
    expect(linearFromHex('#fff')).toEqual(linearFromHex('#ffffff'));
    expect(hexFromLinear([1.4, -0.2, 0])).toBe('#ff0000');
    for (const wrong of ['red', '#12345', 'ffffff', '#12345678', '']) {
      expect(() => linearFromHex(wrong)).toThrow(/Write it as "#rrggbb"/);
    }
  });
});

describe('meanLinear', () => {
  it('does not depend on the scale of the weights', () => {
    const a = linearFromHex('#1f3a5f');
    const b = linearFromHex('#e8dcc0');
    meanLinear([a, b], [3, 1]).forEach((channel, k) => {
      expect(channel).toBeCloseTo(0.75 * a[k] + 0.25 * b[k], 12);
    });
  });
  it('refuses nothing, too few weights, and weights of 0', () => {
    expect(() => meanLinear([])).toThrow(RangeError);
    expect(() => meanLinear([[0, 0, 0]], [])).toThrow(RangeError);
    expect(() => meanLinear([[0, 0, 0]], [0])).toThrow(/at least one must count/);
  });
});
