import { afterAll, describe, expect, test } from 'vitest';
import { linearFromHex } from '#engine/colour/colour.ts';
import { meshCover } from '#engine/yarn/mesh.ts';
import type { ClothPose } from '#render/clothViewTypes.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { loneNet, net, paintedNet, withMesh } from '#tests/helpers/meshScenes.ts';
import { compareWalks, shareBelow } from '#tests/helpers/walkAgreement.ts';

const SIZE = 96;
/** Single precision moves a bar's edge by up to 1e-4 mm; bars have more edge than threads. */
const SAME_THREAD_SHARE = 0.985;
const SAME_DEPTH_SHARE = 0.97;
const DEPTH_MM = 3e-3;
/** Normals are kept to 1/65535 and lean with the distance from the bar's middle, 0.1 mm off it: 1e-3 mm is 0.01. */
const NORMAL = 0.05;
const SAME_NORMAL_SHARE = 0.95;
/** Linear light of an sRGB byte (IEC 61966-2-1). */
const linear = (byte: number): number => linearFromHex(`#${byte.toString(16).padStart(2, '0').repeat(3)}`)[0];
/** Of an open net's transmitted share. */
const COVER_SHARE = 0.02;

const POSES: Record<string, Partial<ClothPose>> = {
  'square-on': {},
  'turned 45 and tipped 20 degrees': { yawRad: Math.PI / 4, pitchRad: 0.35 },
  'back, in perspective': { turnedOver: true, yawRad: -0.6, fieldOfViewRad: 0.5 },
};

const plain = clothFixture({
  ends: 7,
  rows: 7,
  warp: [{ widthMm: 0.6, heightMm: 0.6 }],
  weft: [{ widthMm: 1.6, heightMm: 0.9, strip: true }],
  endX: (end) => 1.5 * end,
  rowY: (row) => 1.5 * row,
});

describe('open strips', () => {
  const { view, shaderErrors, close } = openView();
  afterAll(close);

  const scenes = [
    { name: 'net', cloth: withMesh(plain, net({ turnsPerMm: 0.05 })) },
    { name: 'net with paint and glitter', cloth: withMesh(plain, paintedNet()) },
    {
      name: 'net wound about a strand',
      cloth: withMesh(plain, paintedNet({ turnsPerMm: 0.05, coreShare: 0.45, bars: plain.materials[0].strands[0] })),
    },
    {
      name: 'squares both ways',
      cloth: withMesh(plain, net({ shape: 'square', pitchMm: 0.5, barMm: 0.08 }), true),
    },
  ];
  for (const { name, cloth } of scenes) {
    test(`the shader walk meets what the TypeScript walk meets: ${name}`, async () => {
      const packed = pack(cloth);
      view.setCloth(packed);
      view.setSize(SIZE, SIZE);
      for (const [poseName, turn] of Object.entries(POSES)) {
        const walks = await compareWalks({ view, shaderErrors }, packed, turn, SIZE);
        expect(walks.same, `${poseName}: share on the same thread`).toBeGreaterThan(SAME_THREAD_SHARE);
        const near = walks.normal.filter((_, k) => walks.depthMm[k] < DEPTH_MM);
        expect(near.length / walks.seen, `${poseName}: share at the same depth`).toBeGreaterThan(SAME_DEPTH_SHARE);
        expect(shareBelow(near, NORMAL), `${poseName}: share that faces the same way`).toBeGreaterThan(
          SAME_NORMAL_SHARE,
        );
        expect(walks.seen, poseName).toBeGreaterThan(1000);
      }
    });
  }

  test('an open net held against the window lets through what its cover factor leaves open', async () => {
    view.setCloth(pack(loneNet({ layers: 1 })));
    const side = 160;
    const height = 320;
    view.setSize(side, height);
    const level = { yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, fieldOfViewRad: 0 };
    const whole = { ...view.fitPose(), ...level };
    // Ten by twenty mm of its middle.
    view.setView({ ...whole, centreMm: [0, 0], pixelsPerMm: side / 10 });
    view.setOptions({ backLit: true });
    const { pixels } = await view.capture(side, height, 16);
    expect(shaderErrors).toEqual([]);
    let light = 0;
    for (let p = 0; p < side * height; p++) light += linear(pixels[4 * p]);
    const open = 1 - meshCover(1.6, 0.2);
    expect(Math.abs(light / (side * height) - open)).toBeLessThan(COVER_SHARE * open);
  });
});
