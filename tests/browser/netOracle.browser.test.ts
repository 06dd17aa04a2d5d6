import { afterAll, describe, expect, test } from 'vitest';
import type { MeshMaterial } from '#engine/packing/strandMaterial.ts';
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
/** The picture keeps depth to a float; triangles lie in the layer's plane, and so does it; layers lie 0.1 mm apart or more. */
const DEPTH_MM = 0.01;
const STEP_MM = 0.08;

type NetScene = Pick<MeshMaterial, 'pitchMm' | 'barMm'> &
  Partial<Pick<MeshMaterial, 'shape' | 'layers'>> & { readonly name: string; readonly turn: Partial<ClothPose> };

describe('bars of net against rectangles along the sides of its holes, drawn by the rasteriser', () => {
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
    { name: 'squares of 0.8 mm, bars of 0.2, square-on', shape: 'square', pitchMm: 0.8, barMm: 0.2, turn: {} },
    {
      name: 'squares of 1.2 mm, bars of 0.3, turned and tipped',
      shape: 'square',
      pitchMm: 1.2,
      barMm: 0.3,
      turn: { yawRad: -0.5, pitchRad: 0.6 },
    },
    {
      name: 'two layers of squares, folded about their edge',
      shape: 'square',
      layers: 2,
      pitchMm: 1.2,
      barMm: 0.2,
      turn: { yawRad: 0.4, pitchRad: 0.3 },
    },
    {
      name: 'three layers of hexagons, turned and tipped',
      layers: 3,
      pitchMm: 1.6,
      barMm: 0.2,
      turn: { yawRad: 0.6, pitchRad: 0.5 },
    },
    { name: 'four layers of hexagons from the back', layers: 4, pitchMm: 1.6, barMm: 0.2, turn: { turnedOver: true } },
  ] as readonly NetScene[])('$name', async ({ shape = 'hexagon', layers = 1, pitchMm, barMm, turn }) => {
    const cloth = loneNet({ shape, layers, pitchMm, barMm });
    const packed = pack(cloth);
    view.setCloth(packed);
    view.setSize(SIZE, SIZE);
    const pose: ClothPose = { ...FACE_POSE, ...turn, centreMm: [0, 3], pixelsPerMm: 20 };
    view.setView(pose);
    const walked = await view.readBuffers(SIZE, SIZE);
    expect(shaderErrors).toEqual([]);
    const zMm = cloth.geometry.warp.heightMm[1];
    const flat = { shape, layers, pitchMm, barMm, owner: OWNER, zMm };
    const bars = netBars({ ...flat, halfHeightMm: 0.2, halfWidthMm: 6, halfLengthMm: 15 });
    const drawn = await drawParts(renderer, bars, pose, SIZE, SIZE);
    let [compared, same, level, open] = [0, 0, 0, 0];
    for (let y = 1; y < SIZE - 1; y++) {
      for (let x = 1; x < SIZE - 1; x++) {
        const p = y * SIZE + x;
        if (nearEdge(walked.owner, p) || nearEdge(drawn.owner, p)) continue;
        if (layers > 1 && (nearStep(walked.depthMm, p) || nearStep(drawn.depthMm, p))) continue;
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

/** Of two neighbours one on another layer: further apart than either leans in a pixel. */
function nearStep(depthMm: Float32Array, p: number): boolean {
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) if (Math.abs(depthMm[p + dy * SIZE + dx] - depthMm[p]) > STEP_MM) return true;
  }
  return false;
}

function nearEdge(owner: Int32Array, p: number): boolean {
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) if (owner[p + dy * SIZE + dx] !== owner[p]) return true;
  }
  return false;
}
