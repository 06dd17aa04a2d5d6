import { describe, expect, it } from 'vitest';
import { texFromCount } from '#engine/units/countSystems.ts';
import { fromMm, perCm, perInch, toMm } from '#engine/units/lengths.ts';
import { texFromWrapsPerCm, wrapsPerCm } from '#engine/units/wraps.ts';

/** F. T. Peirce 1937, J. Text. Inst. 28, T45: cotton, d = 1/(28 sqrt(Ne)) inch. */
const peirceCottonMm = (tex: number) => 25.4 / (28 * Math.sqrt(590.541 / tex));

describe('wraps', () => {
  it('are the diameters that fit in a cm, and give the count back', () => {
    // Ne 16: 28 · 4 = 112 diameters to the inch.
    const tex = texFromCount(16, 'Ne');
    expect(perInch(wrapsPerCm(tex, peirceCottonMm))).toBeCloseTo(112, 3);
    expect(texFromWrapsPerCm(perCm(112), peirceCottonMm)).toBeCloseTo(tex, 3);
  });
  it('refuse what no yarn could be', () => {
    expect(() => texFromWrapsPerCm(0, peirceCottonMm)).toThrow(RangeError);
    expect(() => texFromWrapsPerCm(1e9, peirceCottonMm)).toThrow(/Count again/);
  });
});

describe('lengths', () => {
  it('convert by the exact inch and yard', () => {
    expect(toMm(1, 'yd')).toBe(914.4);
    expect(fromMm(254, 'in')).toBeCloseTo(10, 12);
    expect(fromMm(toMm(3.7, 'cm'), 'cm')).toBeCloseTo(3.7, 12);
  });
});
