import { afterAll, describe, expect, test } from 'vitest';
import type { ClothTextures } from '#render/clothTextures.ts';
import type { ClothLight } from '#render/clothViewTypes.ts';
import { FACE_POSE } from '#render/eye.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import type { PictureScene } from '#render/pictureScene.ts';
import type { FixtureOptions } from '#tests/helpers/clothFixtures.ts';
import { LinearProbe, meanOf, presetCloth } from '#tests/helpers/farScenes.ts';

const probe = new LinearProbe();
afterAll(() => probe.close());

const RAD = Math.PI / 180;
/** Other than those on which the far model was tried out (plain, 2/2 twill and 8-end sateen under the north window). */
const SATIN_BACK = (row: number, end: number) => (end + 500 - 2 * row) % 5 !== 0;
const BASKET = (row: number, end: number) => (((row >> 1) + (end >> 1)) & 1) === 0;
const TWILL_31 = (row: number, end: number) => (end - row + 400) % 4 < 3;
const SIDE_WINDOW: ClothLight = { towards: [0.8, 0.25, 0.6], halfAngleRad: 0.15, skyShare: 0.3 };

const ROUND = { widthMm: 0.95, heightMm: 0.7 };
const FLAT = { widthMm: 0.95, heightMm: 0.12, strip: true };
const COLOURS = [
  [0.1, 0.2, 0.5],
  [0.65, 0.6, 0.4],
] as const;

/** One yarn both ways in two colours, repeats of `period` threads over 240. */
function clothOf(id: string, warpUp: FixtureOptions['warpUp'], period: number, body: typeof ROUND | typeof FLAT) {
  const options = { ends: 240, rows: 240, warp: [body], weft: [body], warpUp, periodEnds: period, periodRows: period };
  return presetCloth(
    options,
    COLOURS.map((colour) => ({ id, colour })),
  );
}

const square = (pixelsPerMm: number) => ({ centreMm: [119.5, 119.5] as const, pixelsPerMm });

/** To 60 degrees, twice that at 75. Of the mean of the channels, in light that stands above the cloth's plane in every pose. */
const TOLERANCE = { matte: 0.01, rayon: 0.03, film: 0.06 };
const DRIFT = 0.01;
const FAR_SIZE = 240;

/** The middle of a square picture. */
function middleOf(picture: Float32Array, size: number, wanted: number): Float32Array {
  const from = (size - wanted) / 2;
  const rows = Array.from({ length: wanted }, (_, y) => 4 * ((from + y) * size + from));
  return Float32Array.from(rows.flatMap((at) => [...picture.subarray(at, at + 4 * wanted)]));
}

describe('near and far are one cloth', () => {
  for (const [kind, id, weave, warpUp, period, body] of [
    ['matte', 'cotton-8-2', '3/1 twill', TWILL_31, 4, ROUND],
    ['matte', 'linen-16-2', 'basket', BASKET, 4, ROUND],
    ['rayon', 'rayon-filament-300', 'satin, back', SATIN_BACK, 5, ROUND],
    ['film', 'metal-film-1-69', 'satin, back', SATIN_BACK, 5, FLAT],
  ] as const) {
    test(`mean radiance of ${kind}, ${weave}, at 0, 30, 60 and 75 degrees`, async () => {
      probe.setCloth(await clothOf(id, warpUp, period, body));
      expect(probe.errors).toEqual([]);
      for (const pitch of [0, 30, 60, 75]) {
        for (const yaw of pitch === 0 ? [0] : [0, 25]) {
          // Half a pixel a thread, where nothing is walked; whole repeats of 4 and of 5.
          const pose = { ...square(0.5), pitchRad: pitch * RAD, yawRad: yaw * RAD };
          const near = meanOf(probe.picture(pose, SIDE_WINDOW, 20, 128, { walkAll: true }));
          // As part of a picture of some size: of a small one kinds are looked at along few lines.
          const far = meanOf(middleOf(probe.picture(pose, SIDE_WINDOW, FAR_SIZE, 1, { fine: true }), FAR_SIZE, 20));
          const ratio = (far[0] + far[1] + far[2]) / (near[0] + near[1] + near[2]);
          const most = TOLERANCE[kind] * (pitch > 60 ? 2 : 1);
          if (import.meta.env.VITE_ALL_REFERENCES) console.log(id, weave, pitch, yaw, ratio.toFixed(4));
          expect(Math.abs(ratio - 1), `pitch ${pitch}, yaw ${yaw}`).toBeLessThan(most);
        }
      }
    }, 120000);
  }
});

test('the mean hardly moves while threads shrink from ten pixels to a quarter of one', async () => {
  probe.setCloth(await clothOf('cotton-8-2', BASKET, 4, ROUND));
  let first = 0;
  // Whole repeats of 4 at every scale.
  for (const [pixelsPerMm, size] of [
    [10, 40],
    [4, 32],
    [2, 32],
    [1, 32],
    [0.5, 32],
    [0.25, 32],
  ] as const) {
    const [r, g, b] = meanOf(probe.picture(square(pixelsPerMm), NORTH_LIGHT, size, 128, { fine: true }));
    if (first === 0) first = r + g + b;
    if (import.meta.env.VITE_ALL_REFERENCES) console.log(pixelsPerMm, ((r + g + b) / first).toFixed(4));
    expect(Math.abs((r + g + b) / first - 1), `${pixelsPerMm} pixels a thread`).toBeLessThan(DRIFT);
  }
}, 120000);

test('single samples hold still while the cloth slides by sixteenths of a pixel', async () => {
  probe.setCloth(await clothOf('cotton-8-2', TWILL_31, 4, ROUND));
  for (const pixelsPerMm of [1.5, 1, 0.6]) {
    const size = 24;
    const sums = new Float64Array(size * size);
    const squares = new Float64Array(size * size);
    for (let k = 0; k < 16; k++) {
      const at = (k / 16 + 0.03) / pixelsPerMm;
      const pose = { pixelsPerMm, centreMm: [119.5 + at, 119.5 + 0.37 * at] as const };
      const picture = probe.picture(pose, NORTH_LIGHT, size, 1);
      for (let p = 0; p < sums.length; p++) {
        const value = 0.2126 * picture[p * 4] + 0.7152 * picture[p * 4 + 1] + 0.0722 * picture[p * 4 + 2];
        sums[p] += value / 16;
        squares[p] += (value * value) / 16;
      }
    }
    let mean = 0;
    for (let p = 0; p < sums.length; p++) {
      mean += Math.sqrt(Math.max(0, squares[p] - sums[p] ** 2)) / sums.length;
    }
    expect(sums.some((sum) => sum > 0.05)).toBe(true);
    expect(mean, `${pixelsPerMm} pixels a thread`).toBeLessThan(0.03);
  }
}, 120000);

test('pictures that take turns are each made once, and let go of what they took', async () => {
  const cloth = await clothOf('cotton-8-2', TWILL_31, 4, ROUND);
  probe.setCloth(cloth);
  const { drawer } = probe;
  const size = 32;
  const scene = (turnedOver: boolean, textures?: ClothTextures): PictureScene => ({
    pose: { ...FACE_POSE, ...square(1), turnedOver },
    light: NORTH_LIGHT,
    background: [0, 0, 0],
    backLit: false,
    textures,
  });
  const beside = drawer.load(cloth);
  const scenes = [scene(false), scene(true), scene(false, beside)];
  const { makings, bytes } = drawer.farPicture;
  for (let turn = 0; turn < 4; turn++) for (const one of scenes) drawer.setScene(one, size, size, 1);
  expect(drawer.farPicture.makings - makings).toBe(scenes.length);
  // A moved eye is seen by its own picture only.
  scenes[1].pose = { ...scenes[1].pose, yawRad: 0.1 };
  for (let turn = 0; turn < 2; turn++) for (const one of scenes) drawer.setScene(one, size, size, 1);
  expect(drawer.farPicture.makings - makings).toBe(scenes.length + 1);
  for (const one of scenes) drawer.release(one);
  expect(drawer.farPicture.bytes).toBeLessThanOrEqual(bytes);
  beside.dispose();
}, 120000);
