import { afterAll, describe, expect, test } from 'vitest';
import type { ClothPose } from '#render/clothViewTypes.ts';
import { openView, pack, twinBuffers } from '#tests/helpers/clothProbe.ts';
import { walkScenes } from '#tests/helpers/walkScenes.ts';

const SIZE = 96;
/** Single against double precision moves a silhouette by about 1e-5 of a pixel's width; a few pixels lie on one. */
const SAME_THREAD_SHARE = 0.998;
/** Off the surface, mm: the walk's own tolerance is 1e-5 half widths, single precision 1e-6 of the cloth's width. */
const OFF_SURFACE_MM = 2e-4;
/** Of pixels that agree on the thread: at a rim the normal, too, turns quickly with any rounding. */
const CLOSE_SHARE = 0.995;
/** Cosine of 1 degree: 16-bit octahedral normals and a finite difference in single precision. */
const NORMAL_COSINE = 0.99985;

const POSES: Record<string, Partial<ClothPose>> = {
  'square-on': {},
  'turned 45 and tipped 20 degrees': { yawRad: Math.PI / 4, pitchRad: 0.35 },
  'grazing, 80 degrees': { pitchRad: (80 * Math.PI) / 180, rollRad: 0.3 },
  'back, in perspective': { turnedOver: true, yawRad: -0.6, fieldOfViewRad: 0.5 },
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
        const level = { yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, fieldOfViewRad: 0, ...turn };
        view.setView(level);
        const pose = { ...view.fitPose(), ...turn };
        view.setView(pose);
        const gpu = await view.readBuffers(SIZE, SIZE);
        expect(shaderErrors).toEqual([]);
        const twin = twinBuffers(packed, view.pose, SIZE, SIZE);
        let same = 0;
        let seen = 0;
        let close = 0;
        for (let p = 0; p < SIZE * SIZE; p++) {
          if (twin.kind[p] !== gpu.kind[p] || (twin.kind[p] !== 0 && twin.index[p] !== gpu.index[p])) continue;
          same++;
          if (twin.kind[p] === 0) continue;
          seen++;
          let cosine = 0;
          for (let k = 0; k < 3; k++) cosine += twin.normal[p * 3 + k] * gpu.normal[p * 3 + k];
          const offSurface = Math.abs(twin.depthMm[p] - gpu.depthMm[p]) * twin.incidence[p];
          if (offSurface < OFF_SURFACE_MM && cosine > NORMAL_COSINE) close++;
        }
        expect(same / (SIZE * SIZE), `${poseName}: share of pixels on the same thread`).toBeGreaterThan(
          SAME_THREAD_SHARE,
        );
        expect(seen, `${poseName}: pixels on cloth`).toBeGreaterThan(SIZE * SIZE * 0.05);
        expect(close / seen, `${poseName}: share at the same depth and normal`).toBeGreaterThan(CLOSE_SHARE);
      }
    });
  }
});
