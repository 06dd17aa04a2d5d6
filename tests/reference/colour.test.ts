import { describe, expect, it } from 'vitest';
import {
  codesFromLinear,
  colourDifference,
  colourDifferenceOfLabs,
  hexFromLinear,
  labFromLinear,
  lightness,
  linearFromHex,
  meanLinear,
} from '#engine/colour/colour.ts';
import { caseById, expectWithin } from './cases.ts';

type Lab = [number, number, number];

describe('sRGB and linear light (IEC 61966-2-1)', () => {
  it('CO-01: codes to linear', () => {
    const { inputs, expected, tolerance } = caseById<{ srgb_8bit: number[] }, { linear: number[] }>(
      'appearance',
      'CO-01',
    );
    inputs.srgb_8bit.forEach((code, k) => {
      const digits = code.toString(16).padStart(2, '0');
      for (const channel of linearFromHex(`#${digits}${digits}${digits}`)) {
        expectWithin(channel, expected.linear[k], tolerance, `code ${code}`);
      }
    });
  });

  it('CO-03: linear to codes', () => {
    const { inputs, expected } = caseById<{ linear: number[] }, { srgb_8bit_rounded: number[] }>('appearance', 'CO-03');
    inputs.linear.forEach((light, k) => {
      expect(codesFromLinear([light, light, light])).toEqual(Array(3).fill(expected.srgb_8bit_rounded[k]));
    });
  });
});

describe('mixing by area in linear light (Murray 1936; Neugebauer 1937)', () => {
  it.each(['CO-19', 'CO-20'])('%s', (id) => {
    const { inputs, expected } = caseById<
      { colours: string[][]; area_fractions: number[][] },
      { linear: number[][]; srgb_8bit: number[][] }
    >('appearance', id);
    inputs.colours.forEach((hexes, k) => {
      const mixed = meanLinear(hexes.map(linearFromHex), inputs.area_fractions[k]);
      mixed.forEach((channel, c) => {
        expectWithin(channel, expected.linear[k][c], { abs: 1e-6 }, `${hexes} linear`);
      });
      codesFromLinear(mixed).forEach((code, c) => {
        expectWithin(code, expected.srgb_8bit[k][c], { abs: 1 }, `${hexes} code`);
      });
    });
  });

  it('CO-16, CO-17: black and white', () => {
    const { inputs, expected } = caseById<{ white_fraction_over_black: number[] }, { srgb_8bit: number[] }>(
      'appearance',
      'CO-17',
    );
    const black = linearFromHex('#000000');
    const white = linearFromHex('#ffffff');
    inputs.white_fraction_over_black.forEach((share, k) => {
      expect(codesFromLinear(meanLinear([white, black], [share, 1 - share]))[0]).toBe(expected.srgb_8bit[k]);
    });
    expect(codesFromLinear(meanLinear([black, white]))[0]).toBe(
      caseById<unknown, { srgb_8bit: number }>('appearance', 'CO-16').expected.srgb_8bit,
    );
  });
});

describe('CIELAB and CIEDE2000 against D65', () => {
  it('CO-08: L*a*b* of sRGB codes', () => {
    const { inputs, expected, tolerance } = caseById<{ srgb_hex: string[] }, { lab_d65: number[][] }>(
      'appearance',
      'CO-08',
    );
    inputs.srgb_hex.forEach((hex, k) => {
      labFromLinear(linearFromHex(hex)).forEach((value, c) => {
        expectWithin(value, expected.lab_d65[k][c], tolerance, `${hex} ${'Lab'[c]}`);
      });
    });
  });

  it('CO-10: lightness of a grey of luminance Y', () => {
    const { inputs, expected, tolerance } = caseById<{ Y: number[] }, { Lstar: number[] }>('appearance', 'CO-10');
    inputs.Y.forEach((Y, k) => {
      expectWithin(lightness([Y, Y, Y]), expected.Lstar[k], tolerance, `Y ${Y}`);
    });
  });

  it('CO-11: CIEDE2000 pairs (Sharma, Wu & Dalal 2005)', () => {
    const { inputs, expected } = caseById<{ lab1: Lab[]; lab2: Lab[] }, { de00: number[] }>('appearance', 'CO-11');
    const published = Object.values(expected)[0];
    inputs.lab1.forEach((lab1, k) => {
      // The table prints four decimals.
      expectWithin(colourDifferenceOfLabs(lab1, inputs.lab2[k]), published[k], { abs: 1e-4 }, `pair ${k}`);
    });
  });

  it('measures the same pair the same from hex codes', () => {
    const navy = linearFromHex('#1b2a49');
    const sand = linearFromHex('#c8a165');
    const fromLabs = colourDifferenceOfLabs(labFromLinear(navy) as Lab, labFromLinear(sand) as Lab);
    expect(colourDifference(navy, sand)).toBeCloseTo(fromLabs, 9);
    expect(hexFromLinear(navy)).toBe('#1b2a49');
  });
});
