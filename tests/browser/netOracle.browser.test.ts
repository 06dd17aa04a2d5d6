import { afterAll, describe, expect, test } from 'vitest';
import type { ClothPose } from '#render/clothViewTypes.ts';
import { FACE_POSE } from '#render/eye.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { loneNet } from '#tests/helpers/meshScenes.ts';
import { netBars } from '#tests/helpers/netOracle.ts';
import { drawParts } from '#tests/helpers/tubeOracle.ts';

const SIZE = 128;
/** The lone end of net (meshScenes.ts). */
const OWNER = 3;
/** Pixels whose neighbours all agree: bar or hole by rounding alone. */
const SAME_SHARE = 0.995;
/** The picture keeps depth to a float; triangles lie in the layer's plane, and so does it. */
const DEPTH_MM = 0.01;

describe('bars of net against rectangles along the sides of a honeycomb, drawn by the rasteriser', () => {
  const { view, renderer, shaderErrors, close } = openView();
  afterAll(close);

  test.each([
    { name: 'hexagons of 1.6 mm, bars of 0.3, square-on', pitchMm: 1.6, barMm: 0.3, turn: {} },
    {
      name: 'hexagons of 1.6 mm, bars of 0.3, turned and tipped',
      pitchMm: 1.6,
      barMm: 0.3,
      turn: { yawRad: 0.6, pitchRad: 0.5 },
    },
    {
      name: 'hexagons of 2.4 mm, bars of 0.6, from the back',
      pitchMm: 2.4,
      barMm: 0.6,
      turn: { turnedOver: true, pitchRad: -0.7 },
    },
  ])('$name', async ({ pitchMm, barMm, turn }) => {
    const cloth = loneNet({ pitchMm, barMm });
    const packed = pack(cloth);
    view.setCloth(packed);
    view.setSize(SIZE, SIZE);
    const pose: ClothPose = { ...FACE_POSE, ...turn, centreMm: [0, 3], pixelsPerMm: 20 };
    view.setView(pose);
    const walked = await view.readBuffers(SIZE, SIZE);
    expect(shaderErrors).toEqual([]);
    const zMm = cloth.geometry.warp.heightMm[1];
    const bars = netBars({ pitchMm, barMm, owner: OWNER, zMm, halfWidthMm: 5.9, edgeMm: 6, halfLengthMm: 15 });
    const drawn = await drawParts(renderer, bars, pose, SIZE, SIZE);
    let [compared, same, level, open] = [0, 0, 0, 0];
    for (let y = 1; y < SIZE - 1; y++) {
      for (let x = 1; x < SIZE - 1; x++) {
        const p = y * SIZE + x;
        if (nearEdge(walked.owner, p) || nearEdge(drawn.owner, p)) continue;
        compared++;
        if (walked.owner[p] !== drawn.owner[p]) continue;
        same++;
        if (drawn.owner[p] < 0) open++;
        else if (Math.abs(walked.depthMm[p] - drawn.depthMm[p]) < DEPTH_MM) level++;
      }
    }
    expect(level, 'pixels on bars at the same depth').toBeGreaterThan(300);
    expect(open, 'pixels in holes').toBeGreaterThan(300);
    expect(same / compared, 'share that is bar or hole in both').toBeGreaterThanOrEqual(SAME_SHARE);
    expect(level / (same - open), 'share of bars at the same depth').toBeGreaterThanOrEqual(SAME_SHARE);
  });
});

function nearEdge(owner: Int32Array, p: number): boolean {
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) if (owner[p + dy * SIZE + dx] !== owner[p]) return true;
  }
  return false;
}
