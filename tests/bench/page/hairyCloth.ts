import { demand } from '#document/problem.ts';
import { yarnMaterial } from '#engine/packing/yarnMaterial.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import { readYarnPreset } from '#io/presets.ts';
import { type ClothFixture, clothFixture } from '#tests/helpers/clothFixtures.ts';
import { chenille, fuzz, loops, withHair } from '#tests/helpers/hairScenes.ts';
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
  pile: chenille({ ridgesPerMm: 0.55 }),
  loops: loops({ meanLengthMm: 2.2, longestMm: 4, diameterMm: 0.3, heightMm: 2 }),
  net: undefined,
};

/** Strips of the shelf as they lie: cut cloth, folded and frayed; embossed film, flat. */
const STRIPS = { strip: 'cloth-strip-6', film: 'holo-film-strip-3x50' };

export type HairKind = keyof typeof HAIRS | keyof typeof STRIPS;

export function isHairKind(name: string): name is HairKind {
  return name in HAIRS || isStrip(name);
}

function isStrip(name: string): name is keyof typeof STRIPS {
  return name in STRIPS;
}

/** Plain, `side` threads each way, every crossing distinct. */
export async function hairyCloth(side: number, kind: HairKind): Promise<ClothFixture> {
  if (isStrip(kind)) return stripCloth(side, STRIPS[kind]);
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

/** The same warp, and as weft a strip with all that its yarn has; rows a twentieth further apart than it is wide. */
async function stripCloth(side: number, id: string): Promise<ClothFixture> {
  const card = demand(await readYarnPreset(id));
  const body = yarnBody(yarnFactsOf(card));
  const pitchMm = 1.05 * body.bodyWidthMm;
  const cloth = clothFixture({
    ends: side,
    rows: side,
    warp: [{ widthMm: 0.5, heightMm: 0.5 }],
    weft: [{ widthMm: body.bodyWidthMm, heightMm: body.bodyHeightMm, strip: true }],
    rowY: (row) => row * pitchMm,
  });
  return { ...cloth, materials: [cloth.materials[0], yarnMaterial([card])] };
}
