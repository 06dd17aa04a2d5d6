import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHIP_CHROMA_STEP, CHIP_LIGHTNESS_STEP, chipsOfHue } from '#engine/colour/chips.ts';
import { colourDifference, linearFromHex } from '#engine/colour/colour.ts';
import {
  hexFromLab,
  hexFromLch,
  type LabWhite,
  labFromHex,
  lchFromHex,
  mostChroma,
  readHex,
  readLab,
  readLch,
} from '#engine/colour/colourNumbers.ts';

const whites: readonly LabWhite[] = ['D65', 'D50'];
const hexes = fc.integer({ min: 0, max: 0xffffff }).map((code) => `#${code.toString(16).padStart(6, '0')}`);

describe('L*a*b* and LCh of sRGB codes', () => {
  it('red against D50: lab(54.29 80.805 69.891), lch(54.29 106.84 40.86) (W3C CSS Color 4, sample values)', () => {
    const [l, a, b] = labFromHex('#ff0000', 'D50');
    expect([l, a, b].map((value) => Number(value.toFixed(1)))).toEqual([54.3, 80.8, 69.9]);
    const [, c, h] = lchFromHex('#ff0000', 'D50');
    expect(c).toBeCloseTo(106.84, 1);
    expect(h).toBeCloseTo(40.86, 1);
  });

  it('red against D65: 53.24, 80.09, 67.20 (IEC 61966-2-1 primaries by CIE 015:2018; from memory)', () => {
    const lab = labFromHex('#ff0000', 'D65');
    [53.24, 80.09, 67.2].forEach((value, k) => {
      expect(Math.abs(lab[k] - value)).toBeLessThan(0.05);
    });
  });

  it('white is L* 100 and grey has no chroma against either white', () => {
    for (const white of whites) {
      const [l, a, b] = labFromHex('#ffffff', white);
      expect(l).toBeCloseTo(100, 3);
      expect(Math.hypot(a, b)).toBeLessThan(0.02);
      expect(lchFromHex('#777777', white)[1]).toBeLessThan(0.02);
    }
  });

  it('numbers of a code read back as that code (seed 31)', () => {
    fc.assert(
      fc.property(hexes, fc.constantFrom(...whites), (hex, white) => {
        expect(hexFromLab(labFromHex(hex, white), white)).toBe(hex);
        expect(hexFromLch(lchFromHex(hex, white), white)).toBe(hex);
      }),
      { seed: 31, numRuns: 200 },
    );
  });
});

describe('a colour in writing', () => {
  it.each([
    ['#A0B', '#aa00bb'],
    ['27566b', '#27566b'],
  ])('%s is %s', (text, hex) => {
    expect(readHex(text)).toEqual({ ok: true, value: hex });
  });

  it.each(['54.29 80.805 69.891', '54,29; 80,805; 69,891', ' 54.29, 80.805, 69.891 '])('L*a*b* "%s" is red', (text) => {
    const read = readLab(text, 'D50');
    expect(read.ok && colourDifference(linearFromHex(read.value), linearFromHex('#ff0000'))).toBeLessThan(0.3);
  });

  it('a typeset minus counts, and a negative hue is that hue from the other side', () => {
    expect(readLab('50 −20 10', 'D65')).toEqual(readLab('50 -20 10', 'D65'));
    expect(readLch('50 20 -30', 'D65')).toEqual(readLch('50 20 330', 'D65'));
  });

  it.each([
    [readHex('kelp'), '"kelp" is not a colour. Write # and six digits, 0–9 and a–f, such as #27566b.'],
    [readLab('50 20', 'D65'), '"50 20" is 2 numbers. Write the three of L* a* b*, such as 52.3 -14 8.5.'],
    [readLab('50 20 x', 'D65'), '"x" is not a number. Write the three of L* a* b*, such as 52.3 -14 8.5.'],
    [readLab('150 0 0', 'D65'), 'L* 150 cannot be: give 0 to 100.'],
    [readLch('50 -2 0', 'D65'), 'C* -2 cannot be: give 0 to 200.'],
  ])('what cannot be read says what is wrong and what to do: %o', (outcome, reason) => {
    expect(outcome).toEqual({ ok: false, reason });
  });

  it('a colour beyond sRGB says how vivid it may be, and that is accepted', () => {
    const refused = readLch('60 130 150', 'D65');
    expect(refused.ok).toBe(false);
    const most = mostChroma(60, 150);
    expect(!refused.ok && refused.reason).toContain(`it reaches ${most.toFixed(1)}`);
    expect(readLch(`60 ${most.toFixed(1)} 150`, 'D65').ok).toBe(true);
    expect(readLch(`60 ${most + 1.5} 150`, 'D65').ok).toBe(false);
  });
});

describe('a chart of chips', () => {
  it.each([0, 40, 120, 265])('at hue %i every chip is the colour it says, and none is beyond sRGB', (hue) => {
    const chips = chipsOfHue(hue);
    expect(chips.length).toBeGreaterThan(25);
    for (const { lch, hex } of chips) {
      const [l, c, h] = lchFromHex(hex);
      // Half a code is up to about 0.3 L* or C* (computed), more in the dark.
      expect(Math.abs(l - lch[0])).toBeLessThan(0.6);
      expect(Math.abs(c - lch[1])).toBeLessThan(1.2);
      if (lch[1] >= 2 * CHIP_CHROMA_STEP) expect(Math.abs(((h - hue + 540) % 360) - 180)).toBeLessThan(2.5);
    }
  });

  it('holds every step within sRGB, and no step beyond it', () => {
    const chips = chipsOfHue(40);
    for (let l = CHIP_LIGHTNESS_STEP; l < 100; l += CHIP_LIGHTNESS_STEP) {
      const most = Math.max(...chips.filter(({ lch }) => lch[0] === l).map(({ lch }) => lch[1]));
      expect(most).toBe(Math.floor((mostChroma(l, 40) + 0.1) / CHIP_CHROMA_STEP) * CHIP_CHROMA_STEP);
    }
  });
});
