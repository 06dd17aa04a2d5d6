import { converter, modeLrgb, modeOklab, modeRgb, modeXyz65, useMode as registerMode } from 'culori/fn';
import { describe, expect, it } from 'vitest';
import { evenRamp } from '#app/model/evenRamp.ts';
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
import { yuleNielsen } from '#tests/helpers/yuleNielsen.ts';
import { caseById, expectWithin } from './cases.ts';

type Lab = [number, number, number];

// The engine converts by this library; what it does not say itself is asked of that.
for (const mode of [modeRgb, modeLrgb, modeXyz65, modeOklab]) registerMode(mode);
const toRgb = converter('rgb');
const toOklab = converter('oklab');

/** Tristimulus values of L*a*b* (ISO/CIE 11664-4, the inverse). */
function xyzOfLab([l, a, b]: readonly number[], white: readonly number[]): number[] {
  const y = (l + 16) / 116;
  const cubes = [y + a / 500, y, y - b / 200];
  return cubes.map((f, k) => white[k] * (f > 6 / 29 ? f ** 3 : (f - 4 / 29) / (841 / 108)));
}

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

describe('sRGB in full precision', () => {
  it('CO-05: the two branches meet', () => {
    const { expected, tolerance } = caseById<unknown, Record<'linear_branch' | 'power_branch', number>>(
      'appearance',
      'CO-05',
    );
    const joint = 0.0031308;
    const encode = (light: number) => toRgb({ mode: 'lrgb', r: light, g: light, b: light }).g;
    expectWithin(encode(joint), expected.linear_branch, tolerance, 'at the joint');
    // Beyond it by far less than the tolerance.
    expectWithin(encode(joint + 1e-10), expected.power_branch, tolerance, 'just beyond');
    const jump = encode(joint + 1e-10) - encode(joint - 1e-10);
    expect(Math.abs(jump)).toBeLessThan(1e-7);
  });

  it('CO-03: linear to codes before rounding', () => {
    const { inputs, expected, tolerance } = caseById<{ linear: number[] }, { srgb_unit: number[] }>(
      'appearance',
      'CO-03',
    );
    inputs.linear.forEach((light, k) => {
      const { r } = toRgb({ mode: 'lrgb', r: light, g: light, b: light });
      expectWithin(r, expected.srgb_unit[k], { abs: tolerance.abs_unit }, `light ${light}`);
    });
  });

  it('CO-06: primaries and white, from the L*a*b* that the engine gives them', () => {
    const { inputs, expected, tolerance } = caseById<{ srgb_hex: string[] }, { xyz: number[][] }>(
      'appearance',
      'CO-06',
    );
    const white = expected.xyz[inputs.srgb_hex.indexOf('#ffffff')];
    inputs.srgb_hex.forEach((hex, k) => {
      xyzOfLab(labFromLinear(linearFromHex(hex)), white).forEach((value, c) => {
        expectWithin(value, expected.xyz[k][c], tolerance, `${hex} ${'XYZ'[c]}`);
      });
    });
  });
});

describe('OKLab, in which scales of colour are drawn (Ottosson 2020)', () => {
  it('CO-13: from tristimulus values', () => {
    const { inputs, expected, tolerance } = caseById<{ xyz_d65: number[][] }, { oklab: number[][] }>(
      'appearance',
      'CO-13',
    );
    inputs.xyz_d65.forEach(([x, y, z], k) => {
      const { l, a, b } = toOklab({ mode: 'xyz65', x, y, z });
      [l, a, b].forEach((value, c) => {
        expectWithin(value, expected.oklab[k][c], tolerance, `${x} ${y} ${z}: ${'Lab'[c]}`);
      });
    });
  });

  it('CO-14: from codes; the middle of a scale lies half way', () => {
    const { inputs, expected, tolerance } = caseById<{ srgb_hex: string[] }, { oklab: number[][] }>(
      'appearance',
      'CO-14',
    );
    const labOf = (rgb: readonly number[]): number[] => {
      const { l, a, b } = toOklab({ mode: 'rgb', r: rgb[0] / 255, g: rgb[1] / 255, b: rgb[2] / 255 });
      return [l, a, b];
    };
    const [red, blue] = inputs.srgb_hex;
    const ramp = [...evenRamp(red, blue, 3)];
    [0, 6].forEach((at, k) => {
      labOf(ramp.slice(at, at + 3)).forEach((value, c) => {
        expectWithin(value, expected.oklab[k][c], tolerance, `${inputs.srgb_hex[k]} ${'Lab'[c]}`);
      });
    });
    labOf(ramp.slice(3, 6)).forEach((value, c) => {
      // Half a code of each channel is up to 0.002 in OKLab.
      expectWithin(value, 0.5 * (expected.oklab[0][c] + expected.oklab[1][c]), { abs: 0.002 }, 'middle');
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

  it('CO-23: the measure of light from thread to thread is the mean by area at n = 1, less beyond', () => {
    const { inputs, expected, tolerance } = caseById<
      { R1: number; R0: number; a: number; n: number[] },
      { R: number[]; limit_n_infinite: number }
    >('appearance', 'CO-23');
    const { R1, R0, a } = inputs;
    inputs.n.forEach((n, k) => {
      expectWithin(yuleNielsen(R1, R0, a, n), expected.R[k], tolerance, `n ${n}`);
    });
    expectWithin(yuleNielsen(R1, R0, a, 1e6), expected.limit_n_infinite, { rel: 1e-5 }, 'limit');
    const mean = meanLinear(
      [R1, R0].map((value) => [value, value, value] as const),
      [a, 1 - a],
    );
    expectWithin(mean[0], expected.R[0], tolerance, 'mean by area');
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
    const half = caseById<unknown, { srgb_8bit: number; linear: number }>('appearance', 'CO-16').expected;
    expect(meanLinear([black, white])[0]).toBeCloseTo(half.linear, 12);
    expect(codesFromLinear(meanLinear([black, white]))[0]).toBe(half.srgb_8bit);
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
      expectWithin(colourDifferenceOfLabs(inputs.lab2[k], lab1), published[k], { abs: 1e-4 }, `pair ${k} turned`);
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
