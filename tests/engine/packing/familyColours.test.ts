import { expect, test } from 'vitest';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { familyColours } from '#engine/packing/familyColours.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';

const TAR: LinearRgb = [0.05, 0.05, 0.06];
const SAIL: LinearRgb = [0.7, 0.65, 0.5];

function coloursOf(warp: readonly { widthMm: number; colour: LinearRgb }[], weft: LinearRgb) {
  const { problem, geometry, materials } = clothFixture({
    ends: 8,
    rows: 6,
    warp: warp.map((yarn) => ({ ...yarn, heightMm: 0.3 })),
    weft: [{ widthMm: 0.4, heightMm: 0.3, colour: weft }],
    endYarn: (end) => end % warp.length,
  });
  return familyColours(packCloth(problem, geometry, materials));
}

test('a family’s mean colour is that of its threads, each by its width', () => {
  const { warp: tar } = coloursOf([{ widthMm: 0.4, colour: TAR }], SAIL);
  const { warp: sail } = coloursOf([{ widthMm: 0.4, colour: SAIL }], SAIL);
  const { warp, weft } = coloursOf(
    [
      { widthMm: 0.2, colour: TAR },
      { widthMm: 0.6, colour: SAIL },
    ],
    TAR,
  );
  for (let c = 0; c < 3; c++) {
    expect(warp[c]).toBeCloseTo(0.25 * tar[c] + 0.75 * sail[c], 6);
    expect(weft[c]).toBeCloseTo(tar[c], 6);
  }
  expect(sail[0]).toBeGreaterThan(5 * tar[0]);
});
