import { afterAll, describe, expect, test } from 'vitest';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { ALL_ROUND, compareWalks } from '#tests/helpers/walkAgreement.ts';
import { walkScenes } from '#tests/helpers/walkScenes.ts';

const SIZE = 96;
/** Single against double precision moves a silhouette by about 1e-5 of a pixel's width; a few pixels lie on one. */
const SAME_THREAD_SHARE = 0.998;
/** Off the surface, mm: the walk's own tolerance is 1e-5 half widths, single precision 1e-6 of the cloth's width. */
const OFF_SURFACE_MM = 2e-4;
/** Of pixels that agree on the thread: at a rim the normal, too, turns quickly with any rounding. */
const CLOSE_SHARE = 0.995;
/** 1 degree: 16-bit octahedral normals and a finite difference in single precision. */
const NORMAL = Math.PI / 180;

const POSES = {
  ...ALL_ROUND,
  'grazing, 80 degrees': { pitchRad: (80 * Math.PI) / 180, rollRad: 0.3 },
};

describe('the shader walk meets what the TypeScript walk meets', () => {
  const { view, shaderErrors, close } = openView();
  afterAll(close);

  for (const { name, cloth } of walkScenes()) {
    test(name, async () => {
      const packed = pack(cloth);
      view.setCloth(packed);
      view.setSize(SIZE, SIZE);
      for (const [poseName, turn] of Object.entries(POSES)) {
        const walks = await compareWalks({ view, shaderErrors }, packed, turn, SIZE);
        expect(walks.same, `${poseName}: share of pixels on the same thread`).toBeGreaterThan(SAME_THREAD_SHARE);
        expect(walks.seen, `${poseName}: pixels on cloth`).toBeGreaterThan(SIZE * SIZE * 0.05);
        const close = walks.normal.filter(
          (apart, k) => apart < NORMAL && walks.offSurfaceMm[k] < OFF_SURFACE_MM,
        ).length;
        expect(close / walks.seen, `${poseName}: share at the same depth and normal`).toBeGreaterThan(CLOSE_SHARE);
      }
    });
  }

  test('nodes in memory that other threads share', async () => {
    const alone = pack(walkScenes()[0].cloth);
    const shared = (nodes: Uint32Array) => {
      const out = new Uint32Array(new SharedArrayBuffer(nodes.byteLength));
      out.set(nodes);
      return out;
    };
    const packed = { ...alone, warpNodes: shared(alone.warpNodes), weftNodes: shared(alone.weftNodes) };
    view.setCloth(packed);
    view.setSize(SIZE, SIZE);
    const walks = await compareWalks({ view, shaderErrors }, packed, {}, SIZE);
    expect(walks.same).toBeGreaterThan(SAME_THREAD_SHARE);
    expect(walks.seen).toBeGreaterThan(SIZE * SIZE * 0.05);
  });
});
