import { describe, expect, test } from 'vitest';
import { toldApart } from '#app/structures/toldApart.ts';
import { colourDifference, linearFromHex } from '#engine/colour/colour.ts';

describe('swatches of one colour', () => {
  for (const colour of ['#e4dac0', '#1d1a18', '#7f7f7f']) {
    test(`${colour}: warp and weft are told apart, with the hue kept`, () => {
      const { pickColours, shaded } = toldApart([colour], [colour, colour]);
      expect(shaded).toBe(true);
      // The difference at which a pattern begins to carry.
      expect(colourDifference(linearFromHex(colour), linearFromHex(pickColours[1]))).toBeGreaterThan(10);
    });
  }

  test('colours that differ stay as they are', () => {
    const picks = ['#e4dac0', '#202020'];
    expect(toldApart(['#e4dac0'], picks)).toEqual({ pickColours: picks, shaded: false });
  });
});
