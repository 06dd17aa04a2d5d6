import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { lightness } from '#engine/colour/colour.ts';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import type { CaptureResult, ClothPose } from '#render/clothViewTypes.ts';
import { contrastLeft } from '#render/eyeSpread.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';

const { view, renderer, shaderErrors, close } = openView({ samples: 5 });
const [width, height] = [96, 64];
const round = (colour: readonly [number, number, number]) => [{ widthMm: 0.8, heightMm: 0.8, colour }];
const twill = (row: number, end: number) => (end - row + 400) % 4 < 3;
const cloth = pack(
  clothFixture({ ends: 12, rows: 12, warp: round([0.7, 0.1, 0.1]), weft: round([0.1, 0.2, 0.7]), warpUp: twill }),
);
const pale = pack(clothFixture({ ends: 12, rows: 12, warp: round([0.8, 0.8, 0.8]), weft: round([0.8, 0.8, 0.8]) }));
const pose: Partial<ClothPose> = { centreMm: [5.5, 5.5], pixelsPerMm: 7, yawRad: 0.3, fieldOfViewRad: 0.4 };

beforeAll(() => {
  renderer.setSize(width, height, false);
  view.setSize(width, height);
  view.setCloth(cloth);
  view.setView(pose);
});
afterAll(close);
afterEach(() => expect(shaderErrors).toEqual([]));

const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));

async function settledCanvas(): Promise<Uint8Array> {
  while (view.step() === 'more') await frame();
  view.step();
  const gl = renderer.getContext();
  const read = new Uint8Array(width * height * 4);
  gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, read);
  return read;
}

/** Largest difference of channels between a part of the canvas, from its top left, and a picture from another place. */
function worst(canvas: Uint8Array, x0: number, columns: number, picture: CaptureResult, fromX: number): number {
  let most = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < columns; x++) {
      for (let k = 0; k < 3; k++) {
        const shown = canvas[((height - 1 - y) * width + x0 + x) * 4 + k];
        most = Math.max(most, Math.abs(shown - picture.pixels[(y * picture.width + fromX + x) * 4 + k]));
      }
    }
  }
  return most;
}

async function captured(of: Partial<ClothPose>, captureWidth: number): Promise<CaptureResult> {
  view.setView(of);
  const picture = await view.capture(captureWidth, height, 5);
  view.setView({ ...pose, turnedOver: false });
  return picture;
}

/** Both round the same half floats to bytes. */
const ROUNDING = 1;

test('face and back side by side are what each is alone, and threads are named in both', async () => {
  const half = width / 2;
  const face = await captured({}, half);
  const back = await captured({ turnedOver: true }, half);
  expect(Array.from(face.pixels)).not.toEqual(Array.from(back.pixels));
  view.setPanes([
    { frame: { x: 0, y: 0, width: half, height } },
    { frame: { x: half, y: 0, width: half, height }, otherSide: true },
  ]);
  const canvas = await settledCanvas();
  expect(worst(canvas, 0, half, face, 0)).toBeLessThanOrEqual(ROUNDING);
  expect(worst(canvas, half, half, back, 0)).toBeLessThanOrEqual(ROUNDING);
  // The middle of either picture is the middle of the cloth; half a pitch beside it lies a thread.
  for (const x of [half / 2, half + half / 2]) {
    const met = view.pick(x + 3.5, height / 2 + 3.5)!;
    expect(Math.abs(met.end - 5.5)).toBeLessThan(1.5);
    expect(Math.abs(met.row - 5.5)).toBeLessThan(1.5);
  }
});

test('a split cloth shows one side either side of its edge, and a moved edge draws nothing anew', async () => {
  const face = await captured({}, width);
  const back = await captured({ turnedOver: true }, width);
  const whole = { x: 0, y: 0, width, height };
  const splitAt = (edge: number) =>
    view.setPanes([
      { frame: whole, clip: { x: 0, y: 0, width: edge, height } },
      { frame: whole, clip: { x: edge, y: 0, width: width - edge, height }, otherSide: true },
    ]);
  splitAt(30);
  await settledCanvas();
  for (const edge of [30, 70]) {
    splitAt(edge);
    expect(view.step()).toBe('settled');
    const canvas = await settledCanvas();
    expect(worst(canvas, 0, edge, face, 0)).toBeLessThanOrEqual(ROUNDING);
    expect(worst(canvas, edge, width - edge, back, edge)).toBeLessThanOrEqual(ROUNDING);
  }
});

test('another cloth beside the first keeps to its own picture, under the same pose', async () => {
  const half = width / 2;
  const first = await captured({}, half);
  view.setCloth(pale);
  const second = await captured({}, half);
  view.setCloth(cloth);
  view.setPanes([
    { frame: { x: 0, y: 0, width: half, height } },
    { frame: { x: half, y: 0, width: half, height }, cloth: pale },
  ]);
  const canvas = await settledCanvas();
  expect(worst(canvas, 0, half, first, 0)).toBeLessThanOrEqual(ROUNDING);
  expect(worst(canvas, half, half, second, 0)).toBeLessThanOrEqual(ROUNDING);
  view.setPanes([]);
  const alone = await settledCanvas();
  expect(worst(alone, 0, width, await captured({}, width), 0)).toBeLessThanOrEqual(ROUNDING);
});

test('each cloth is drawn from afar as it is alone, also where that becomes known later, and under either side', async () => {
  const half = width / 2;
  const threads = { ends: 60, rows: 60, periodEnds: 4, periodRows: 4, warpUp: twill };
  const fine = pack(clothFixture({ ...threads, warp: round([0.7, 0.1, 0.1]), weft: round([0.1, 0.2, 0.7]) }));
  const other = pack(clothFixture({ ...threads, warp: round([0.1, 0.5, 0.2]), weft: round([0.8, 0.8, 0.8]) }));
  const away = { centreMm: [29.5, 29.5] as const, pixelsPerMm: 0.9, yawRad: 0.2, fieldOfViewRad: 0.3 };
  const panes = [
    { frame: { x: 0, y: 0, width: half, height } },
    { frame: { x: half, y: 0, width: half, height }, cloth: other },
  ];
  view.setCloth(fine);
  view.setView(away);
  view.setPanes(panes);
  const walked = await settledCanvas();
  const farOther = buildFar(other);
  view.setFar(other, farOther);
  const half2 = await settledCanvas();
  view.setFar(fine, buildFar(fine));
  const canvas = await settledCanvas();
  // At rest nothing is drawn for the sake of what is known already.
  view.setFar(other, farOther);
  expect(view.step()).toBe('settled');

  const alone = async () => {
    const picture = await view.capture(half, height, 5);
    view.setView({ turnedOver: true });
    const back = await view.capture(half, height, 5);
    view.setView({ turnedOver: false });
    return [picture, back];
  };
  const [first, firstBack] = await alone();
  view.setCloth(other);
  const [second] = await alone();
  view.setCloth(fine);
  expect(worst(canvas, 0, half, first, 0)).toBeLessThanOrEqual(ROUNDING);
  expect(worst(canvas, half, half, second, 0)).toBeLessThanOrEqual(ROUNDING);
  // The two ways of drawing are told apart at all, and each picture changed when its own cloth became known.
  const farFromWalk = (a: Uint8Array, b: Uint8Array, x0: number) => {
    let most = 0;
    for (let p = 0; p < a.length; p++) {
      const x = (p >> 2) % width;
      if (x >= x0 && x < x0 + half) most = Math.max(most, Math.abs(a[p] - b[p]));
    }
    return most;
  };
  expect(farFromWalk(walked, half2, 0)).toBeLessThanOrEqual(ROUNDING);
  expect(farFromWalk(walked, half2, half)).toBeGreaterThan(2 * ROUNDING);
  expect(farFromWalk(half2, canvas, 0)).toBeGreaterThan(2 * ROUNDING);

  view.setView(away);
  view.setPanes([panes[0], { ...panes[1], cloth: undefined, otherSide: true }]);
  const sides = await settledCanvas();
  expect(worst(sides, 0, half, first, 0)).toBeLessThanOrEqual(ROUNDING);
  expect(worst(sides, half, half, firstBack, 0)).toBeLessThanOrEqual(ROUNDING);
  // Loaded again, the other cloth is known from afar at once.
  view.setPanes(panes);
  const again = await settledCanvas();
  expect(worst(again, half, half, second, 0)).toBeLessThanOrEqual(ROUNDING);
  view.setPanes([]);
  view.setCloth(cloth);
  view.setView({ ...pose, turnedOver: false });
}, 120_000);

const linear = (code: number) => (code <= 10.31475 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4);

describe('a cloth held away from the eye', () => {
  const pitchMm = 2;
  const level = { yawRad: 0, pitchRad: 0, fieldOfViewRad: 0, centreMm: [14.5, 14.5] as const, pixelsPerMm: 7 };
  const dark = { widthMm: 1.2, heightMm: 0.4, colour: [0.05, 0.05, 0.05] as const };
  const bright = { ...dark, colour: [0.7, 0.7, 0.7] as const };
  const stripes = pack(
    clothFixture({
      ends: 30,
      rows: 30,
      warp: [dark, bright],
      weft: [dark],
      endYarn: (k) => k % 2,
      warpUp: () => true,
    }),
  );

  /** Strength of what repeats with the stripes, in linear light, over whole stripes away from the picture's edges. */
  function stripeStrength(canvas: Uint8Array): number {
    const pitchPx = pitchMm * 7;
    let cosine = 0;
    let sine = 0;
    for (let y = 0; y < height; y++) {
      for (let x = pitchPx; x < 6 * pitchPx; x++) {
        const light = linear(canvas[(y * width + x) * 4]);
        cosine += light * Math.cos((2 * Math.PI * x) / pitchPx);
        sine += light * Math.sin((2 * Math.PI * x) / pitchPx);
      }
    }
    return Math.hypot(cosine, sine);
  }

  test('keeps the contrast that the eye leaves of its stripes, and is sharp again near by', async () => {
    view.setPanes([]);
    view.setCloth(stripes);
    view.setView(level);
    view.setLook({ heldAtMm: null });
    const sharp = stripeStrength(await settledCanvas());
    for (const distanceMm of [1500, 3000, 6000]) {
      view.setLook({ heldAtMm: distanceMm });
      expect(view.step()).toBe('settled');
      const left = stripeStrength(await settledCanvas()) / sharp;
      // The Gaussian is cut at 3 deviations and codes are whole.
      expect(Math.abs(left - contrastLeft(pitchMm, distanceMm)), `at ${distanceMm} mm`).toBeLessThan(0.02);
    }
    view.setLook({ heldAtMm: null });
    expect(stripeStrength(await settledCanvas())).toBeCloseTo(sharp, 9);
  });

  test('is sharp and near under a lens, whatever the distance', async () => {
    const side = 32;
    const lens = { centreMm: [13, 15] as const, closer: 3 };
    view.setPanes([]);
    view.setView({ ...level, centreMm: lens.centreMm, pixelsPerMm: 7 * lens.closer });
    const near = await view.capture(side, side, 5);
    view.setView(level);
    view.setLook({ heldAtMm: 5000 });
    view.setPanes([
      { frame: { x: 0, y: 0, width, height } },
      { frame: { x: 40, y: 20, width: side, height: side }, lens },
    ]);
    const canvas = await settledCanvas();
    let most = 0;
    for (let y = 0; y < side; y++) {
      for (let x = 0; x < side; x++) {
        const shown = canvas[((height - 1 - 20 - y) * width + 40 + x) * 4];
        most = Math.max(most, Math.abs(shown - near.pixels[(y * side + x) * 4]));
      }
    }
    expect(most).toBeLessThanOrEqual(ROUNDING);
    // A thread is named where the lens shows it, not where it lies without the lens.
    const middle = view.pick(40 + side / 2, 20 + side / 2)!;
    expect(Math.hypot(middle.pointMm[0] - lens.centreMm[0], middle.pointMm[1] - lens.centreMm[1])).toBeLessThan(0.1);
    view.setPanes([]);
    view.setLook({ heldAtMm: null });
  });

  test('shown by lightness alone is grey, of the same L* as the colours', async () => {
    view.setCloth(cloth);
    view.setView({ ...pose, turnedOver: false });
    const colours = await settledCanvas();
    view.setLook({ lightnessOnly: true });
    const greys = await settledCanvas();
    view.setLook({ lightnessOnly: false });
    const lightnessAt = (codes: Uint8Array, p: number) =>
      lightness([linear(codes[p]), linear(codes[p + 1]), linear(codes[p + 2])]);
    let worstL = 0;
    for (let p = 0; p < greys.length; p += 4) {
      expect(greys[p + 1]).toBe(greys[p]);
      expect(greys[p + 2]).toBe(greys[p]);
      worstL = Math.max(worstL, Math.abs(lightnessAt(greys, p) - lightnessAt(colours, p)));
    }
    // A grey code is at most 0.6 L* wide in the dark, and colours are rounded as well.
    expect(worstL).toBeLessThan(0.7);
    expect(new Set(greys).size).toBeGreaterThan(20);
  });
});
