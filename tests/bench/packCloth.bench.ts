import { bench, describe } from 'vitest';
import { packCloth } from '#engine/packing/packCloth.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';

const yarn = [{ widthMm: 0.7, heightMm: 0.6 }];
const cloth = clothFixture({ ends: 400, rows: 400, warp: yarn, weft: yarn });

describe('laying a cloth out for the GPU', () => {
  bench('400 × 400 distinct crossings', () => {
    packCloth(cloth.problem, cloth.geometry, cloth.materials);
  });
});
