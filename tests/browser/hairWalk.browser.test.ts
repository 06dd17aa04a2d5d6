import { afterAll, describe, expect, test } from 'vitest';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import {
  bowed,
  flatWefts,
  frayed,
  fringed,
  fuzz,
  loops,
  pile,
  wanderingThreads,
  withHair,
  wraps,
} from '#tests/helpers/hairScenes.ts';
import { ALL_ROUND, compareWalks, shareBelow } from '#tests/helpers/walkAgreement.ts';

const SIZE = 96;
/**
 * A hair is a fraction of a pixel wide and single precision moves its edge by up to 1e-4 mm of a hundredth's radius, so
 * about one in a hundred of the pixels that show hair may differ, and those are a tenth of all.
 */
const SAME_THREAD_SHARE = 0.995;
const SAME_DEPTH_SHARE = 0.985;
/** Single precision along a grazing hair. */
const DEPTH_MM = 3e-3;

const POSES = {
  ...ALL_ROUND,
  'grazing, 75 degrees': { pitchRad: (75 * Math.PI) / 180, rollRad: 0.3 },
};

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });
const plain = clothFixture({
  ends: 7,
  rows: 7,
  warp: [round(0.6)],
  weft: [{ widthMm: 0.7, heightMm: 0.5 }],
  slopes: (_family, row, end) => 0.2 * Math.sin(row + 2 * end),
});

describe('hair: the shader walk meets what the TypeScript walk meets', () => {
  const { view, shaderErrors, close } = openView();
  afterAll(close);

  const scenes = [
    { name: 'fuzz on every yarn', cloth: withHair(plain, fuzz({ perMm: 16, diameterMm: 0.03 })) },
    { name: 'fuzz raised on one side', cloth: withHair(plain, fuzz({ perMm: 16, diameterMm: 0.03, onFace: -0.8 })) },
    { name: 'pile on the weft', cloth: withHair(plain, pile(), 'weft') },
    { name: 'ridges of pile', cloth: withHair(plain, pile({ ridgesPerMm: -0.6 }), 'weft') },
    { name: 'loops on wandering ends', cloth: withHair(wanderingThreads, loops(), 'warp') },
    { name: 'wraps of a core', cloth: withHair(plain, wraps(), 'weft') },
    { name: 'frayed edges of flat wefts', cloth: withHair(flatWefts, frayed(), 'weft') },
    { name: 'hair that bows', cloth: withHair(plain, bowed()) },
    { name: 'a fringe of pile', cloth: withHair(fringed, pile(), 'weft') },
    { name: 'long hair on wandering ends', cloth: withHair(wanderingThreads, longHair(), 'warp') },
  ];

  for (const { name, cloth } of scenes) {
    test(name, async () => {
      const packed = pack(cloth);
      view.setCloth(packed);
      view.setSize(SIZE, SIZE);
      for (const [poseName, turn] of Object.entries(POSES)) {
        const walks = await compareWalks({ view, shaderErrors }, packed, turn, SIZE);
        expect(walks.same, `${poseName}: share on the same thread`).toBeGreaterThan(SAME_THREAD_SHARE);
        expect(shareBelow(walks.depthMm, DEPTH_MM), `${poseName}: share at the same depth`).toBeGreaterThan(
          SAME_DEPTH_SHARE,
        );
        expect(walks.hairs, `${poseName}: pixels that show hair`).toBeGreaterThan(100);
      }
    });
  }
});

function longHair() {
  return fuzz({ perMm: 4, meanLengthMm: 3, longestMm: 8, leanMeanRad: 1.05, heightMm: 2.5, diameterMm: 0.03 });
}
