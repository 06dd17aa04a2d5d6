import { afterAll, afterEach, describe, expect, test } from 'vitest';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { colourDifference } from '#engine/colour/colour.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { MOST_BOUNCES } from '#render/viewUniforms.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { LEVEL, meanOf, packAs, plainCloth, setReflectance, traced, woundCard } from '#tests/helpers/traceScenes.ts';
import { yuleNielsen } from '#tests/helpers/yuleNielsen.ts';

const { view, shaderErrors, close } = openView({ background: [0, 0, 0] });
afterAll(close);
afterEach(() => expect(shaderErrors).toEqual([]));

const WHITE: LinearRgb = [1, 1, 1];
const grey = (value: number): LinearRgb => [value, value, value];
const even = { evenRoom: true, mostBounces: MOST_BOUNCES };
const matte = { ...even, lambert: true };

const overCloth = () => view.setView({ ...LEVEL, centreMm: [6.5, 6.5], pixelsPerMm: 12 });
/** Whole turns of the card. */
const overCard = () => view.setView({ ...LEVEL, centreMm: [7.5, 7.5], pixelsPerMm: 8 });
/** Whole repeats of plain cloth. */
const overRepeats = () => view.setView({ ...LEVEL, centreMm: [6.5, 6.5], pixelsPerMm: 6 });

describe('a white furnace', () => {
  test('of perfectly matte threads is 1 in every pixel', async () => {
    view.setCloth(setReflectance(pack(plainCloth(WHITE, WHITE)), WHITE));
    overCloth();
    view.setView({ yawRad: 0.5, pitchRad: -0.6 });
    const picture = await traced(view, 32, 32, 16, matte);
    let worst = 0;
    for (let k = 1; k < picture.length; k += 4) worst = Math.max(worst, Math.abs(picture[k] - 1));
    // Each sample weighs 1; one path in some thousands is still within the cloth after 32 bounces.
    expect(worst).toBeLessThan(0.07);
    expect(Math.abs(meanOf(picture)[1] - 1)).toBeLessThan(5e-4);
  });

  // Tables of scattering hold single scattering to 0.01; the mean of 64 samples of 576 pixels adds about 0.004.
  test.each(['cotton-8-2', 'rayon-filament-300', 'linen-20-2'])('of %s returns all light', async (preset) => {
    view.setCloth(setReflectance(await packAs(plainCloth(WHITE, WHITE), preset), WHITE));
    overCloth();
    const [, mean] = meanOf(await traced(view, 24, 24, 64, even));
    expect(Math.abs(mean - 1)).toBeLessThan(0.015);
  });
});

describe('touching round turns', () => {
  // Radiosity between touching cylinders on a plane, computed: sky share 0.802 seen from above; with light from turn to
  // turn 0.431 at reflectance 0.5 and 0.737 at 0.8.
  const exact = [
    [0.5, 0.431],
    [0.8, 0.737],
  ];

  test('see 0.802 of the sky', async () => {
    view.setCloth(setReflectance(pack(woundCard(WHITE)), grey(0.5)));
    overCard();
    const [, mean] = meanOf(await traced(view, 32, 16, 128, { ...matte, mostBounces: 1 }));
    expect(Math.abs(mean / 0.5 - 0.802)).toBeLessThan(0.01);
  });

  test.each(exact)('light one another: reflectance %f shows as %f', async (reflectance, shown) => {
    view.setCloth(setReflectance(pack(woundCard(WHITE)), grey(reflectance)));
    overCard();
    const [, mean] = meanOf(await traced(view, 32, 16, 128, matte));
    expect(Math.abs(mean - shown)).toBeLessThan(0.01);
  });

  test('look alike in an even room and under a window that fills the half sphere', async () => {
    view.setCloth(setReflectance(pack(woundCard(WHITE)), grey(0.8)));
    overCard();
    view.setLight({ towards: [0, 0, 1], halfAngleRad: Math.PI / 2, skyShare: 0 });
    const matteCard = meanOf(await traced(view, 32, 16, 128, { mostBounces: MOST_BOUNCES, lambert: true }));
    const card = meanOf(await traced(view, 32, 16, 128, { mostBounces: MOST_BOUNCES }));
    view.setLight(NORTH_LIGHT);
    const inRoom = meanOf(await traced(view, 32, 16, 128, even));
    // Rays to the window and rays that find it by chance share the light: neither lost nor counted twice.
    expect(Math.abs(matteCard[1] - 0.737)).toBeLessThan(0.01);
    expect(Math.abs(card[1] - inRoom[1])).toBeLessThan(0.012);
  });

  test.each(['cotton-8-2', 'rayon-filament-300'])('show the cone colour of %s', async (preset) => {
    const cone: LinearRgb = [0.72, 0.3, 0.12];
    view.setCloth(await packAs(woundCard(cone), preset));
    overCard();
    const shown = meanOf(await traced(view, 32, 16, 256, even));
    expect(colourDifference(shown, cone)).toBeLessThan(0.5);
  });
});

test('a matte thread facing a small light returns pi/4 of what a card does', async () => {
  const cloth = clothFixture({
    ends: 3,
    rows: 3,
    warpUp: () => true,
    endX: (end) => 6 * end,
    rowY: (row) => 6 * row,
    // Smooth: fibres face the light at slants of their own.
    warp: [{ widthMm: 1, heightMm: 1, strip: true }],
    weft: [{ widthMm: 0.05, heightMm: 0.05 }],
  });
  view.setCloth(setReflectance(pack(cloth), grey(0.6)));
  // The middle end between two picks, 32 of 40 pixels wide.
  view.setView({ ...LEVEL, centreMm: [6, 9], pixelsPerMm: 32 });
  view.setLight({ towards: [0, 0, 1], halfAngleRad: 0.01, skyShare: 0 });
  const picture = await traced(view, 40, 8, 64, { mostBounces: 1, lambert: true });
  view.setLight(NORTH_LIGHT);
  const overWidth = (meanOf(picture)[1] * 40) / 32;
  // Mean cosine over a round section's width.
  expect(Math.abs(overWidth / 0.6 / (Math.PI / 4) - 1)).toBeLessThan(0.01);
});

test('a plain cloth of two colours: the area mean without light from thread to thread, darker than that with it', async () => {
  const dark = grey(0.04);
  const light = grey(0.85);
  const means: number[][] = [];
  for (const [warp, weft] of [
    [dark, dark],
    [light, light],
    [dark, light],
  ]) {
    view.setCloth(pack(plainCloth(warp, weft, 1)));
    overRepeats();
    const single = meanOf(await traced(view, 24, 24, 64, { ...even, mostBounces: 1 }))[1];
    const full = meanOf(await traced(view, 24, 24, 64, even))[1];
    means.push([single, full]);
  }
  const [[dark1, darkAll], [light1, lightAll], [mixed1, mixedAll]] = means;
  expect(Math.abs(mixed1 / (0.5 * (dark1 + light1)) - 1)).toBeLessThan(0.01);
  // Threads that are seen one by one lie between n = 1 and 2.
  expect(mixedAll).toBeLessThan(yuleNielsen(lightAll, darkAll, 0.5, 1));
  expect(mixedAll).toBeGreaterThan(yuleNielsen(lightAll, darkAll, 0.5, 2));
});

describe('a trace', () => {
  test('that is stopped and goes on is the same picture', async () => {
    view.setCloth(pack(plainCloth([0.6, 0.2, 0.1], [0.1, 0.3, 0.6])));
    overCloth();
    const whole = await traced(view, 48, 40, 5);
    const tracer = view.traceReference(48, 40);
    const stop = new AbortController();
    const told: number[] = [];
    const onProgress = (done: number) => {
      told.push(done);
      if (done >= 1) stop.abort();
    };
    expect(await tracer.run(5, { onProgress, signal: stop.signal })).toBe(false);
    // In the middle of a round, whose samples are not in the mean yet.
    expect(tracer.samples).toBe(0);
    const before = told.length;
    expect(told.filter((done) => done >= 1)).toHaveLength(1);
    expect(await tracer.run(5, { onProgress })).toBe(true);
    expect(tracer.samples).toBe(5);
    const resumed = await tracer.readLinear();
    tracer.dispose();
    expect(told.slice(before).length).toBeGreaterThan(0);
    expect(told).toEqual([...new Set(told)].sort((a, b) => a - b));
    expect(told.at(-1)).toBe(5);
    expect(resumed).toEqual(whole);
  });

  test('refuses another cloth half way, and bounces beyond its bound', async () => {
    const tracer = view.traceReference(16, 16);
    await tracer.run(1);
    view.setCloth(pack(plainCloth(WHITE, WHITE)));
    await expect(tracer.run(2)).rejects.toThrow('the cloth has changed; begin anew');
    tracer.dispose();
    expect(() => view.traceReference(16, 16, { mostBounces: MOST_BOUNCES + 1 })).toThrow('1 to 32');
  });

  test('captured across blocks is one picture, and a stopped capture says so', async () => {
    view.setCloth(pack(plainCloth([0.6, 0.2, 0.1], [0.1, 0.3, 0.6])));
    view.setView({ ...LEVEL, centreMm: [6.5, 6.5], pixelsPerMm: 80 });
    const wide = await view.capture(1030, 4, 1, { reference: true });
    const linear = await traced(view, 1030, 4, 1);
    let worst = 0;
    for (let y = 0; y < 4; y++) {
      for (let k = 0; k < 1030 * 4; k++) {
        if (k % 4 === 3) continue;
        const value = Math.min(1, linear[(3 - y) * 1030 * 4 + k]);
        const code = value <= 0.0031308 ? 12.92 * value : 1.055 * value ** (1 / 2.4) - 0.055;
        worst = Math.max(worst, Math.abs(wide.pixels[y * 1030 * 4 + k] - 255 * code));
      }
    }
    expect(worst).toBeLessThan(1);
    await expect(view.capture(16, 16, 4, { reference: true, signal: AbortSignal.abort() })).rejects.toThrow();
  });
});
