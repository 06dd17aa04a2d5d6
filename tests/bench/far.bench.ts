import { bench, describe } from 'vitest';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

/** 8-end satin to sateen by the tones of a picture in blocks of 8, three wefts by turns. */
function picture(side: number) {
  const random = seededRandom(2);
  const tones = Float64Array.from({ length: Math.ceil(side / 8) ** 2 }, () => random());
  const across = Math.ceil(side / 8);
  const { problem, geometry, materials } = clothFixture({
    ends: side,
    rows: side,
    warp: [{ widthMm: 0.8, heightMm: 0.7 }],
    weft: [0, 1, 2].map(() => ({ widthMm: 0.8, heightMm: 0.7 })),
    rowYarn: (k) => k % 3,
    warpUp: (row, end) => (end + 8 * side - 3 * row) % 8 < 1 + 7 * tones[(row >> 3) * across + (end >> 3)],
  });
  return packCloth(problem, geometry, materials);
}

describe('far model', () => {
  for (const side of [64, 400, 2000]) {
    const cloth = picture(side);
    const far = buildFar(cloth);
    bench(`${side} × ${side} picture, ${far.classes} kinds of crossings`, () => void buildFar(cloth), {
      iterations: 2,
      warmupIterations: 0,
      time: 0,
    });
  }
});
