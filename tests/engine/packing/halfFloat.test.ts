import { describe, expect, test } from 'vitest';
import { fromHalf, toHalf } from '#engine/packing/halfFloat.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

// Bit patterns of IEEE 754-2019 binary16.
const KNOWN: readonly (readonly [number, number])[] = [
  [0, 0x0000],
  [1, 0x3c00],
  [-2, 0xc000],
  [65504, 0x7bff],
  [2 ** -14, 0x0400],
  [2 ** -24, 0x0001],
  [2 ** -14 - 2 ** -24, 0x03ff],
  [1 / 3, 0x3555],
  [0.1, 0x2e66],
];

describe('binary16', () => {
  test.each(KNOWN)('%f is %i', (value, bits) => {
    expect(toHalf(value)).toBe(bits);
  });

  test('every bit pattern of a finite number comes back', () => {
    for (let bits = 0; bits < 0x10000; bits++) {
      if ((bits & 0x7c00) === 0x7c00 || bits === 0x8000) continue;
      expect(toHalf(fromHalf(bits))).toBe(bits);
    }
  });

  test('rounds to the nearest, ties to even', () => {
    expect(fromHalf(toHalf(2049))).toBe(2048);
    expect(fromHalf(toHalf(2051))).toBe(2052);
    const random = seededRandom(5);
    for (let k = 0; k < 2000; k++) {
      const value = (random() - 0.5) * 2 ** (random() * 12 - 6);
      const error = Math.abs(fromHalf(toHalf(value)) - value);
      expect(error).toBeLessThanOrEqual(Math.max(2 ** -25, Math.abs(value) * 2 ** -11));
    }
  });

  test('saturates beyond its range', () => {
    expect(fromHalf(toHalf(1e9))).toBe(65504);
    expect(fromHalf(toHalf(-1e9))).toBe(-65504);
  });
});
