import { afterAll, expect, test } from 'vitest';
import { packInSteps } from '#engine/packing/packCloth.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { leafOptics } from '#engine/yarn/leafOptics.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView } from '#tests/helpers/clothProbe.ts';
import { finish } from '#tests/helpers/finish.ts';

const SIZE = 160;
/** A grey matte yarn and a red leaf differ by more than this wherever leaf lies; the same pixel drawn twice by nothing. */
const OTHER = 6;
/** The share is found by 4096 looks (1.6 %) and read from the picture in pixels of a tenth of a thread. */
const SHARE_TOLERANCE = 0.04;

const { view, shaderErrors, close } = openView({ background: [0.5, 0.5, 0.5] });
afterAll(close);

function plainCloth(share: number | undefined): PackedCloth {
  const { problem, geometry, materials } = clothFixture({
    ends: 14,
    rows: 14,
    warp: [{ widthMm: 0.9, heightMm: 0.7 }],
    weft: [{ widthMm: 0.9, heightMm: 0.7 }],
  });
  const face = { coneColour: [0.7, 0.02, 0.02] as const, optics: leafOptics };
  const leaves = share === undefined ? [] : [{ side: 'face' as const, share, face }];
  return finish(packInSteps(problem, geometry, materials, 0, leaves));
}

async function pixelsOf(cloth: PackedCloth, turnedOver: boolean): Promise<Uint8ClampedArray> {
  view.setCloth(cloth);
  view.setSize(SIZE, SIZE);
  const pose = { yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver, fieldOfViewRad: 0 };
  view.setView({ ...pose, centreMm: [6.5, 6.5], pixelsPerMm: SIZE / 12 });
  const { pixels } = await view.capture(SIZE, SIZE, 8);
  expect(shaderErrors).toEqual([]);
  return pixels;
}

function differing(a: Uint8ClampedArray, b: Uint8ClampedArray): number {
  let count = 0;
  for (let k = 0; k < a.length; k += 4) {
    if ([0, 1, 2].some((channel) => Math.abs(a[k + channel] - b[k + channel]) > OTHER)) count++;
  }
  return count / (SIZE * SIZE);
}

test.each([0.15, 0.4])(
  'leaf is seen on the share of the face that it was laid on (%f), and not from the back',
  async (share) => {
    const bare = plainCloth(undefined);
    const leafed = plainCloth(share);
    const face = differing(await pixelsOf(bare, false), await pixelsOf(leafed, false));
    // Of what is seen of the cloth; about a hundredth of the picture are gaps. Edges of leaf within a pixel count whole.
    expect(face).toBeGreaterThan(share - SHARE_TOLERANCE);
    expect(face).toBeLessThan(share + 2.5 * SHARE_TOLERANCE);
    expect(differing(await pixelsOf(bare, true), await pixelsOf(leafed, true))).toBe(0);
  },
);
