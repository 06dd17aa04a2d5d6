import { afterAll, describe, expect, test } from 'vitest';
import { LIGHTS } from '#render/lights.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { LinearProbe, meanOf } from '#tests/helpers/farScenes.ts';
import { shelfCloth } from '#tests/helpers/yarnScenes.ts';

/** Hair and layers differ from thread to thread, and a kind of crossing is looked at in some of its places only. */
const NEAR_FAR = 0.05;
const RAD = Math.PI / 180;
const SIZE = 16;
/** Ridges of pile lie otherwise on each thread: so many are looked at, an even number for plain weave. */
const THREADS = 6;

describe('yarns of the shelf near and far', () => {
  const probe = new LinearProbe();
  afterAll(() => probe.close());

  test.each([
    { id: 'mohair-brushed', what: 'a long halo, in mean light', light: LIGHTS.overcast.light, yaw: 0, samples: 32 },
    { id: 'cloth-strip-6', what: 'folds and frayed edges', light: NORTH_LIGHT, yaw: 0, samples: 64 },
    { id: 'chenille-stem-6', what: 'bristles about a wire', light: NORTH_LIGHT, yaw: 0, samples: 64 },
    { id: 'organza-strip-20', what: 'square mesh and fray, seen from aside', light: NORTH_LIGHT, yaw: 25, samples: 64 },
    { id: 'tulle-strip-25', what: 'layers of hexagons', light: NORTH_LIGHT, yaw: 0, samples: 64 },
    { id: 'cotton-gimp', what: 'strands wound round a core', light: NORTH_LIGHT, yaw: 0, samples: 64 },
  ])('are one cloth: $id ($what), at 0 and 50 degrees', async ({ id, light, yaw, samples }) => {
    const { cloth, pitchMm, middleMm } = await shelfCloth(id);
    probe.setCloth(cloth);
    for (const pitch of [0, 50]) {
      const pose = {
        centreMm: middleMm,
        pixelsPerMm: 0.5 / pitchMm,
        pitchRad: pitch * RAD,
        yawRad: pitch > 0 ? yaw * RAD : 0,
      };
      const near = meanOf(probe.picture(pose, light, SIZE, samples, { walkAll: true }));
      const far = meanOf(probe.picture(pose, light, SIZE, 1, { fine: true }));
      expect(probe.errors).toEqual([]);
      if (import.meta.env.VITE_ALL_REFERENCES)
        console.log(
          id,
          pitch,
          far.map((value, k) => value / near[k]),
        );
      near.forEach((value, k) => {
        expect(Math.abs(far[k] / value - 1), `pitch ${pitch}, channel ${k}`).toBeLessThan(NEAR_FAR);
      });
    }
  });

  // Where threads are a few pixels wide hairs stand in for one another, and fine ones are hardly to be seen by themselves.
  test.each([
    { id: 'cotton-8-2', what: 'the down of a spun yarn', pixelsAPitch: [1, 4] },
    { id: 'cotton-chenille-1.7', what: 'pile', pixelsAPitch: [1, 2, 4, 8, 14, 28] },
    { id: 'viscose-chenille-1450', what: 'pile', pixelsAPitch: [1, 2, 4, 8, 14, 28] },
  ])('are as light on the way from one to the other: $id ($what)', async ({ id, pixelsAPitch }) => {
    const { cloth, pitchMm, middleMm } = await shelfCloth(id);
    probe.setCloth(cloth);
    const seen = (pixels: number, samples: number) =>
      meanOf(
        probe.picture(
          { centreMm: middleMm, pixelsPerMm: pixels / pitchMm },
          NORTH_LIGHT,
          Math.max(SIZE, THREADS * pixels),
          samples,
          { fine: true },
        ),
      );
    const far = seen(0.5, 1);
    for (const pixels of pixelsAPitch) {
      const near = seen(pixels, 48);
      if (import.meta.env.VITE_ALL_REFERENCES)
        console.log(
          id,
          pixels,
          near.map((value, k) => value / far[k]),
        );
      near.forEach((value, k) => {
        expect(Math.abs(value / far[k] - 1), `${pixels} pixels a pitch, channel ${k}`).toBeLessThan(NEAR_FAR);
      });
    }
    expect(probe.errors).toEqual([]);
  });

  // Estimates alone, where one at rest has rays to the light as well.
  test.each([
    { id: 'cotton-chenille-1.7', what: 'pile' },
    { id: 'viscose-chenille-1450', what: 'pile' },
  ])('are as light from afar while they move: $id ($what)', async ({ id }) => {
    const { cloth, pitchMm, middleMm } = await shelfCloth(id);
    probe.setCloth(cloth);
    const pose = { centreMm: middleMm, pixelsPerMm: 0.5 / pitchMm };
    const mean = (picture: Float32Array) => meanOf(picture).reduce((sum, value) => sum + value / 3, 0);
    const rest = mean(probe.picture(pose, NORTH_LIGHT, SIZE, 1, { fine: true }));
    const moving = mean(probe.picture(pose, NORTH_LIGHT, SIZE, 1, { lit: false }));
    if (import.meta.env.VITE_ALL_REFERENCES) console.log(id, 'moving', moving / rest);
    expect(Math.abs(moving / rest - 1)).toBeLessThan(NEAR_FAR);
    expect(probe.errors).toEqual([]);
  });
});
