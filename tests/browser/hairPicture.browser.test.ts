import { afterAll, afterEach, describe, expect, test } from 'vitest';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { hairLight } from '#engine/scatter/hairPhase.ts';
import type { YarnHair } from '#engine/yarn/hair.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { MOST_BOUNCES } from '#render/viewUniforms.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { LinearProbe } from '#tests/helpers/farScenes.ts';
import { frayed, fuzz, loneEnds, loops, pile, withHair } from '#tests/helpers/hairScenes.ts';
import { LEVEL, meanOf, plainCloth, setReflectance, traced } from '#tests/helpers/traceScenes.ts';

const WHITE: LinearRgb = [1, 1, 1];
const GREY: LinearRgb = [0.4, 0.4, 0.4];
/** Hairs differ from thread to thread, and a kind of crossing is looked at in some of its places only. */
const NEAR_FAR = 0.05;
const over = { ...LEVEL, centreMm: [6.5, 6.5] as const, pixelsPerMm: 12 };

describe('a cloth without hair', () => {
  const { view, shaderErrors, close } = openView();
  afterAll(close);
  afterEach(() => expect(shaderErrors).toEqual([]));

  test('is drawn pixel for pixel alike before and after hair is in the programs', async () => {
    const bare = pack(plainCloth(GREY, [0.1, 0.3, 0.2]));
    const draw = async () => {
      view.setCloth(bare);
      view.setView({ ...over, yawRad: 0.4, pitchRad: 0.5 });
      return new Uint8Array((await view.capture(64, 48, 8)).pixels);
    };
    const before = await draw();
    view.setCloth(pack(withHair(plainCloth(GREY, GREY), fuzz())));
    const hairy = new Uint8Array((await view.capture(64, 48, 8)).pixels);
    const after = await draw();
    expect(after).toEqual(before);
    expect(hairy).not.toEqual(before);
  });
});

describe('light and hair', () => {
  const { view, shaderErrors, close } = openView({ background: [0, 0, 0] });
  afterAll(close);
  afterEach(() => expect(shaderErrors).toEqual([]));

  const scenes = [
    { name: 'fuzz', hair: fuzz({ perMm: 30, diameterMm: 0.03 }) },
    { name: 'pile', hair: pile() },
    { name: 'loops', hair: loops() },
    { name: 'frayed edges', hair: frayed() },
  ];

  // Bodies hold the furnace to 0.01 by their tables and hair exactly; the mean of 160 samples of 576 pixels adds 0.004,
  // of 64 it added up to 0.017 with pile.
  test.each(scenes)('a white furnace with $name returns all light', async ({ hair }) => {
    view.setCloth(setReflectance(pack(withHair(plainCloth(WHITE, WHITE), hair)), WHITE));
    view.setView({ ...over, yawRad: 0.3 });
    const [, mean] = meanOf(await traced(view, 24, 24, 160, { evenRoom: true, mostBounces: MOST_BOUNCES }));
    expect(Math.abs(mean - 1)).toBeLessThan(0.015);
  });

  // Light from hair to hair is estimated, not followed, in the picture of each frame.
  test.each(scenes)('with $name the picture is near its traced reference', async ({ hair }) => {
    view.setCloth(pack(withHair(plainCloth(GREY, GREY), hair)));
    view.setView(over);
    const [, reference] = meanOf(await traced(view, 40, 40, 48, { mostBounces: MOST_BOUNCES }));
    const { pixels } = await view.capture(40, 40, 32);
    let sum = 0;
    for (let k = 1; k < pixels.length; k += 4) sum += linear(pixels[k]);
    const drawn = sum / (pixels.length / 4);
    expect(Math.abs(drawn / reference - 1)).toBeLessThan(0.15);
  });
});

describe('a bench behind hair', () => {
  const { view, shaderErrors, close } = openView();
  afterAll(close);

  /** How much brighter a lone yarn's hair, and the gaps in it, get with a bench of 0.5. */
  async function gained(reflectance: LinearRgb, hair: YarnHair): Promise<number> {
    view.setCloth(setReflectance(pack(loneEnds(1, hair)), reflectance));
    view.setView({ ...LEVEL, centreMm: [1, 20], pixelsPerMm: 60 });
    const means: number[] = [];
    for (const bench of [0, 0.5]) {
      view.setOptions({ background: [bench, bench, bench] });
      const { pixels } = await view.capture(24, 160, 32);
      let sum = 0;
      for (let k = 1; k < pixels.length; k += 4) sum += linear(pixels[k]);
      means.push(sum / (pixels.length / 4));
    }
    expect(shaderErrors).toEqual([]);
    return (means[1] - means[0]) / 0.5;
  }

  // Through black hair nothing comes: it tells the cover. A white fibre returns at its surface what hairLight says and lets the
  // rest through: a half of what it scatters evenly, and of (1 − cos φ)²/(3π) the half space behind, 1/2 + 4/(3π).
  test('shines through it by the fibre’s own phase function', async () => {
    const hair = fuzz({ perMm: 20, diameterMm: 0.05, evenness: 1, leanMeanRad: 0.3, taper: 0 });
    const cover = 1 - (await gained([0, 0, 0], hair));
    const passed = (await gained([1, 1, 1], hair)) - 1 + cover;
    const { optics } = loneEnds(1, hair).materials[0].strands[0];
    const light = hairLight(optics, 1);
    const behind = 0.5 * optics.isotropy + (1 - optics.isotropy) * (0.5 + 4 / (3 * Math.PI));
    expect(cover).toBeGreaterThan(0.1);
    const share = passed / (cover * light.within * behind);
    // Its like stand behind it as well: less, by as much as they cover.
    expect(share).toBeLessThan(1.02);
    expect(share).toBeGreaterThan(1 - 1.5 * cover);
  });
});

describe('near and far', () => {
  const probe = new LinearProbe();
  afterAll(() => probe.close());

  test.each([
    { name: 'fuzz', hair: fuzz({ perMm: 12, diameterMm: 0.02 }) },
    { name: 'pile', hair: pile() },
    { name: 'loops', hair: loops() },
    { name: 'fuzz over a bright bench', hair: fuzz({ perMm: 12, diameterMm: 0.02 }), bench: 0.7 },
  ])('are one cloth with $name, at 0, 40 and 65 degrees', async ({ hair, bench = 0 }) => {
    const yarn = { widthMm: 0.8, heightMm: 0.6 };
    const cloth = clothFixture({
      ends: 120,
      rows: 120,
      warp: [{ ...yarn, colour: [0.1, 0.2, 0.5] }],
      weft: [{ ...yarn, colour: [0.65, 0.6, 0.4] }],
      periodEnds: 2,
      periodRows: 2,
    });
    probe.setCloth(pack(withHair(cloth, hair)));
    for (const pitch of [0, 40, 65]) {
      const pose = { centreMm: [59.5, 59.5] as const, pixelsPerMm: 0.5, pitchRad: (pitch * Math.PI) / 180 };
      const near = meanFrom(probe.picture(pose, NORTH_LIGHT, 16, 96, { walkAll: true, bench }));
      const far = meanFrom(probe.picture(pose, NORTH_LIGHT, 16, 1, { fine: true, bench }));
      expect(probe.errors).toEqual([]);
      expect(Math.abs(far / near - 1), `pitch ${pitch}`).toBeLessThan(NEAR_FAR);
    }
  });
});

/** Mean of the three channels. */
function meanFrom(picture: Float32Array): number {
  const [r, g, b] = meanOf(picture);
  return (r + g + b) / 3;
}

/** Of an sRGB byte. */
function linear(byte: number): number {
  const c = byte / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}
