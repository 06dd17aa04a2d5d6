import { type ClothFixture, clothFixture } from '#tests/helpers/clothFixtures.ts';
import { fuzz, loops, pile, withHair } from '#tests/helpers/hairScenes.ts';
import { net, withMesh } from '#tests/helpers/meshScenes.ts';

/** As the yarns of the shelf: spun cotton, brushed mohair, chenille, loop yarn; on wefts 0.9 mm thick, a little apart. */
const HAIRS = {
  smooth: undefined,
  fuzz: fuzz({ perMm: 8 }),
  halo: fuzz({
    perMm: 8,
    meanLengthMm: 8,
    longestMm: 20,
    diameterMm: 0.03,
    leanMeanRad: 1.05,
    heightMm: 4.8,
    coreShare: 0.84,
  }),
  pile: pile({
    perMm: 430,
    meanLengthMm: 0.25,
    longestMm: 0.3,
    diameterMm: 0.04,
    taper: 0.2,
    heightMm: 0.3,
    ridgesPerMm: 0.55,
  }),
  loops: loops({ meanLengthMm: 2.2, longestMm: 4, diameterMm: 0.3, heightMm: 2 }),
  net: undefined,
};
export type HairKind = keyof typeof HAIRS;

export function isHairKind(name: string): name is HairKind {
  return name in HAIRS;
}

/** Plain, `side` threads each way, every crossing distinct. */
export function hairyCloth(side: number, kind: HairKind): ClothFixture {
  const cloth = clothFixture({
    ends: side,
    rows: side,
    warp: [{ widthMm: 0.5, heightMm: 0.5 }],
    weft: [{ widthMm: 0.9, heightMm: 0.8, plies: 2, turnsPerM: 250 }],
  });
  if (kind === 'net') return withMesh(cloth, net({ pitchMm: 0.4, barMm: 0.06, turnsPerMm: 0.05 }));
  const hair = HAIRS[kind];
  return hair ? withHair(cloth, hair, 'weft') : cloth;
}
