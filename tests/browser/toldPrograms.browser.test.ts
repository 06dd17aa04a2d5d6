import { afterAll, describe, expect, test } from 'vitest';
import { demand } from '#document/problem.ts';
import type { Leaf } from '#engine/packing/layLeaf.ts';
import { packInSteps } from '#engine/packing/packCloth.ts';
import { yarnMaterial } from '#engine/packing/yarnMaterial.ts';
import { leafOptics } from '#engine/yarn/leafOptics.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import { readYarnPreset } from '#io/presets.ts';
import { FACE_POSE } from '#render/eye.ts';
import { fitPose } from '#render/fitPose.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { Feature } from '#render/programFeatures.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { LinearProbe } from '#tests/helpers/farScenes.ts';
import { finish } from '#tests/helpers/finish.ts';

const SIZE = 48;
/** A ray to the room and one to the window of each pixel. */
const SAMPLES = 4;
/** Programs that know of more order their arithmetic otherwise. */
const ROUNDING = 1e-3;
const GOLD: Leaf = { side: 'face', share: 0.5, face: { coneColour: [0.8, 0.6, 0.2], optics: leafOptics } };

/** Yarns by what programs are told of them. */
const YARNS = [
  { name: 'spun cotton', id: 'cotton-8-2', facets: false, relief: false },
  { name: 'cotton with gold leaf', id: 'cotton-8-2', leaves: [GOLD], facets: true, relief: false },
  { name: 'braided cord', id: 'braided-cord-4', facets: false, relief: true },
  { name: 'holographic film', id: 'holo-film-strip-3x50', facets: true, relief: false },
  { name: 'cut cloth strip', id: 'cloth-strip-6', facets: false, relief: true },
];

describe('programs that are told what a cloth has draw it as those do that know all', () => {
  const probe = new LinearProbe();
  afterAll(() => probe.close());

  test.each(YARNS)('$name', async ({ id, leaves = [], facets, relief }) => {
    const card = demand(await readYarnPreset(id));
    const { bodyWidthMm, bodyHeightMm } = yarnBody(yarnFactsOf(card));
    const { problem, geometry, materials } = clothFixture({
      ends: 5,
      rows: 5,
      warp: [{ widthMm: 0.5, heightMm: 0.5 }],
      weft: [{ widthMm: bodyWidthMm, heightMm: bodyHeightMm, strip: card.shape === 'strip' }],
      rowY: (row) => 1.05 * bodyWidthMm * row,
    });
    const packed = finish(packInSteps(problem, geometry, [materials[0], yarnMaterial([card])], 0, leaves));
    expect([packed.facets, packed.relief]).toEqual([facets, relief]);
    probe.setCloth(packed);
    const pose = fitPose(packed.bounds, { ...FACE_POSE, pitchRad: 0.5 }, SIZE, SIZE);
    const all = Feature.facets | Feature.relief | Feature.ruled | Feature.lobed;
    const [told, knowing] = [0, all].map((features) => probe.picture(pose, NORTH_LIGHT, SIZE, SAMPLES, { features }));
    expect(probe.errors).toEqual([]);
    let apart = 0;
    let sum = 0;
    for (let k = 0; k < told.length; k++) {
      apart += Math.abs(told[k] - knowing[k]);
      sum += knowing[k];
    }
    expect(sum).toBeGreaterThan(0);
    expect(apart / sum).toBeLessThan(ROUNDING);
  });
});
