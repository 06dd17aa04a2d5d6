import { afterAll, afterEach, describe, expect, test } from 'vitest';
import type { CaptureResult, ClothPose } from '#render/clothViewTypes.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

const LEVEL: Partial<ClothPose> = { yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, fieldOfViewRad: 0 };

const { view, renderer, shaderErrors, close } = openView({ samples: 6 });
afterAll(close);
afterEach(() => expect(shaderErrors).toEqual([]));

const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));

async function stepUntilSettled(): Promise<void> {
  while (view.step() === 'more') await frame();
}

function level(samples: number, width: number, height: number, pose: Partial<ClothPose>): Promise<CaptureResult> {
  view.setView({ ...LEVEL, ...pose });
  return view.capture(width, height, samples);
}

/** Differences of channels, ascending, as bytes. */
function differences(a: CaptureResult, b: CaptureResult): number[] {
  return Array.from(a.pixels, (value, k) => Math.abs(value - b.pixels[k])).sort((p, q) => p - q);
}

const round = (widthMm: number, colour: readonly [number, number, number]) => ({
  widthMm,
  heightMm: widthMm,
  colour,
});
const twill = (row: number, end: number) => (end - row + 400) % 4 < 2;

describe('a settled picture', () => {
  const cloth = clothFixture({
    ends: 12,
    rows: 12,
    warp: [round(0.8, [0.6, 0.2, 0.1])],
    weft: [round(0.8, [0.1, 0.3, 0.6])],
    warpUp: twill,
  });

  test('on the canvas equals a capture with as many samples', async () => {
    view.setCloth(pack(cloth));
    view.setSize(64, 64);
    view.setView({ ...LEVEL, ...view.fitPose(), yawRad: 0.4 });
    await stepUntilSettled();
    view.step();
    const gl = renderer.getContext();
    const read = new Uint8Array(64 * 64 * 4);
    gl.readPixels(0, 0, 64, 64, gl.RGBA, gl.UNSIGNED_BYTE, read);
    const captured = await view.capture(64, 64, 6);
    let worst = 0;
    for (let y = 0; y < 64; y++) {
      for (let k = 0; k < 64 * 4; k++) {
        worst = Math.max(worst, Math.abs(read[y * 256 + k] - captured.pixels[(63 - y) * 256 + k]));
      }
    }
    // Both round the same half floats to bytes; tiles and blocks must not show.
    expect(worst).toBeLessThanOrEqual(1);
  });

  test('is the same in every block of a capture wider than one', async () => {
    view.setOptions({ backLit: true });
    const shown = await level(1, 1100, 24, view.pose);
    const buffers = await view.readBuffers(1100, 24);
    view.setOptions({ backLit: false });
    const isOpen = (x: number, y: number) => buffers.kind[(23 - y) * 1100 + x] === 0;
    let wrong = 0;
    let compared = 0;
    for (let y = 1; y < 23; y++) {
      for (let x = 1; x < 1099; x++) {
        const open = isOpen(x, y);
        // A picture's samples are shifted within the pixel, so that they may differ at an edge.
        const around = [-1, 0, 1].flatMap((dx) => [-1, 0, 1].map((dy) => isOpen(x + dx, y + dy)));
        if (around.some((other) => other !== open)) continue;
        compared++;
        if ((shown.pixels[(y * 1100 + x) * 4] === 255) !== open) wrong++;
      }
    }
    // Corners finer than a pixel; a block set down wrongly would be thousands.
    expect(wrong).toBeLessThan(0.001 * compared);
    expect(compared).toBeGreaterThan(5000);
  });

  test('comes back after each of 20 lost contexts', async () => {
    const before = await level(1, 48, 48, view.fitPose());
    let lost = 0;
    const count = () => lost++;
    renderer.domElement.addEventListener('webglcontextlost', count);
    for (let k = 0; k < 20; k++) {
      renderer.forceContextLoss();
      await frame();
      await frame();
      renderer.forceContextRestore();
      await frame();
      await frame();
    }
    renderer.domElement.removeEventListener('webglcontextlost', count);
    expect(lost).toBe(20);
    await stepUntilSettled();
    const after = await level(1, 48, 48, view.pose);
    expect(differences(before, after).at(-1)).toBe(0);
  });

  test('pick names the thread drawn there, seed 3', async () => {
    const size = 96;
    view.setSize(size, size);
    view.setView({ ...LEVEL, ...view.fitPose() });
    view.setView({ ...view.fitPose(), yawRad: 0.5, pitchRad: -0.4 });
    const buffers = await view.readBuffers(size, size);
    const random = seededRandom(3);
    let wrong = 0;
    for (let k = 0; k < 300; k++) {
      const x = Math.floor(random() * size);
      const y = Math.floor(random() * size);
      const picked = view.pick(x + 0.5, y + 0.5);
      const owner = picked === null ? -1 : picked.index * 2 + (picked.kind === 'warp' ? 1 : 0);
      if (owner !== buffers.owner[(size - 1 - y) * size + x]) wrong++;
    }
    // Single precision may decide a silhouette otherwise.
    expect(wrong).toBeLessThanOrEqual(1);
  });
});

test('no background shows through a closed cloth at 0, 45 and 80 degrees', async () => {
  const cloth = clothFixture({
    ends: 60,
    rows: 60,
    warp: [{ widthMm: 1.1, heightMm: 0.5 }],
    weft: [{ widthMm: 1.1, heightMm: 0.5 }],
  });
  view.setCloth(pack(cloth));
  for (const degrees of [0, 45, 80]) {
    const pitchRad = (degrees * Math.PI) / 180;
    for (const turn of [{ pitchRad }, { yawRad: pitchRad }, { pitchRad, rollRad: 0.7 }]) {
      view.setView({ ...LEVEL, ...turn, centreMm: [29.37, 29.71], pixelsPerMm: 30 });
      const { kind } = await view.readBuffers(160, 160);
      expect(kind.filter((k) => k === 0).length, `${degrees} degrees, ${JSON.stringify(turn)}`).toBe(0);
    }
  }
});

describe('what does not change the picture', () => {
  // Cut from sheet, since fibres lie otherwise on each thread.
  const sheet = (widthMm: number, colour: readonly [number, number, number]) => ({
    ...round(widthMm, colour),
    strip: true,
  });
  const pixelsPerMm = 10;
  const warpColours = [sheet(0.8, [0.7, 0.1, 0.1]), sheet(0.7, [0.8, 0.8, 0.6])];
  const weftColours = [sheet(0.75, [0.1, 0.3, 0.7]), sheet(0.6, [0.2, 0.6, 0.2])];
  const n = 26;
  const centre = 12.3;
  const original = clothFixture({
    ends: n,
    rows: n,
    warp: warpColours,
    weft: weftColours,
    endYarn: (k) => (k % 3 === 0 ? 1 : 0),
    rowYarn: (k) => (k % 4 === 0 ? 1 : 0),
    rowY: (k) => k * 1.1,
    warpUp: twill,
    warpShare: 0.4,
  });
  /** Rounding at silhouettes moves a sample now and then. */
  const FEW = 2;

  test('turning cloth and yarns by 90 degrees in the same light, warp and weft exchanged', async () => {
    const turned = clothFixture({
      ends: n,
      rows: n,
      warp: weftColours,
      weft: warpColours,
      endYarn: (k) => ((n - 1 - k) % 4 === 0 ? 1 : 0),
      rowYarn: (k) => (k % 3 === 0 ? 1 : 0),
      endX: (k) => -(n - 1 - k) * 1.1,
      warpUp: (row, end) => !twill(n - 1 - end, row),
      warpShare: 0.6,
    });
    const pose = { ...LEVEL, pixelsPerMm };
    view.setCloth(pack(original));
    const first = await level(16, 128, 128, { ...pose, centreMm: [centre, centre * 1.1], rollRad: Math.PI / 2 });
    view.setCloth(pack(turned));
    const second = await level(16, 128, 128, { ...pose, centreMm: [-centre * 1.1, centre] });
    const sorted = differences(first, second);
    expect(sorted[Math.floor(0.99 * sorted.length)]).toBeLessThanOrEqual(FEW);
    // The picture must hold something to compare.
    expect(new Set(first.pixels).size).toBeGreaterThan(50);
  });

  test('the back is the face of a cloth with lifts inverted and ends reversed', async () => {
    const inverted = clothFixture({
      ends: n,
      rows: n,
      warp: warpColours,
      weft: weftColours,
      endYarn: (k) => ((n - 1 - k) % 3 === 0 ? 1 : 0),
      rowYarn: (k) => (k % 4 === 0 ? 1 : 0),
      endX: (k) => -(n - 1 - k),
      rowY: (k) => k * 1.1,
      warpUp: (row, end) => !twill(row, n - 1 - end),
      warpShare: 0.4,
    });
    const pose = { ...LEVEL, pixelsPerMm, yawRad: 0.3 };
    view.setCloth(pack(original));
    const back = await level(4, 128, 128, { ...pose, centreMm: [centre, centre * 1.1], turnedOver: true });
    view.setCloth(pack(inverted));
    const face = await level(4, 128, 128, { ...pose, centreMm: [-centre, centre * 1.1] });
    const sorted = differences(back, face);
    expect(sorted[Math.floor(0.99 * sorted.length)]).toBeLessThanOrEqual(FEW);
  });
});

test('back-lit, an open plain weave shows the fractional cover K = Kw + Kf - Kw Kf (Peirce 1937)', async () => {
  const [dWarp, dWeft] = [0.4, 0.3];
  const cloth = clothFixture({ ends: 14, rows: 14, warp: [round(dWarp, [1, 1, 1])], weft: [round(dWeft, [1, 1, 1])] });
  view.setCloth(pack(cloth));
  view.setOptions({ backLit: true });
  // Four whole pitches either way.
  const picture = await level(4, 160, 160, { centreMm: [6.5, 6.5], pixelsPerMm: 40 });
  view.setOptions({ backLit: false });
  let open = 0;
  for (let k = 0; k < picture.pixels.length; k += 4) {
    const code = picture.pixels[k] / 255;
    open += code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
  }
  const cover = 1 - open / (160 * 160);
  const byHand = dWarp + dWeft - dWarp * dWeft;
  expect(Math.abs(cover - byHand) / byHand).toBeLessThan(0.02);
});

test('a white matte card facing the window shows as white', async () => {
  // One strip, so wide that its crown is flat, held by two threads far out of the picture.
  const card = clothFixture({
    ends: 2,
    rows: 1,
    warp: [round(0.01, [0, 0, 0])],
    weft: [{ widthMm: 60, heightMm: 0.5, colour: [1, 1, 1], strip: true }],
    endX: (k) => (k - 0.5) * 200,
    warpUp: () => false,
  });
  view.setCloth(pack(card));
  const towards: [number, number, number] = [0.3, 0.4, 0.85];
  view.setLight({ towards });
  const length = Math.hypot(...towards);
  const yawRad = Math.asin(towards[0] / length);
  const pitchRad = Math.atan2(towards[1], towards[2]);
  const facing = await level(48, 24, 24, { centreMm: [0, 0], pixelsPerMm: 100, pitchRad, yawRad });
  const mean = facing.pixels.filter((_, k) => k % 4 === 0).reduce((sum, value) => sum + value, 0) / (24 * 24);
  // 48 samples of the room leave a little noise, and white is clipped above.
  expect(mean).toBeGreaterThan(250);
  const away = await level(16, 24, 24, { centreMm: [0, 0], pixelsPerMm: 100, pitchRad: -1.2, yawRad });
  const dim = away.pixels.filter((_, k) => k % 4 === 0).reduce((sum, value) => sum + value, 0) / (24 * 24);
  expect(dim).toBeLessThan(200);
});

test('before its first pass is done, a picture shows background where nothing is drawn yet', async () => {
  view.setCloth(
    pack(clothFixture({ ends: 4, rows: 4, warp: [round(0.5, [0.5, 0.5, 0.5])], weft: [round(0.5, [0.5, 0.5, 0.5])] })),
  );
  // New targets, and more pixels than the first tiles hold; the cloth far off, so that all of it is background.
  const [width, height] = [320, 300];
  renderer.setSize(width, height, false);
  view.setSize(width, height);
  view.setView({ ...LEVEL, centreMm: [500, 500], pixelsPerMm: 5 });
  const gl = renderer.getContext();
  const read = new Uint8Array(4);
  const seen = new Set<number>();
  for (let k = 0; k < 60 && view.step() === 'more'; k++) {
    for (const [x, y] of [
      [0, 0],
      [width - 1, 0],
      [0, height - 1],
      [width - 1, height - 1],
    ]) {
      gl.readPixels(x, y, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, read);
      if (read[3] === 255) seen.add(read[0]);
    }
    await frame();
  }
  // sRGB of the default background, linear 0.2.
  expect([...seen]).toEqual([124]);
});

test('a new cloth never stands in one picture with the last one', async () => {
  const [width, height] = [320, 300];
  const closed = (colour: readonly [number, number, number]) =>
    pack(clothFixture({ ends: 24, rows: 24, warp: [round(1, colour)], weft: [round(1, colour)] }));
  renderer.setSize(width, height, false);
  view.setSize(width, height);
  view.setView({ ...LEVEL, centreMm: [12, 12], pixelsPerMm: 20 });
  view.setCloth(closed([0.6, 0.02, 0.02]));
  const gl = renderer.getContext();
  const read = new Uint8Array(4 * width * height);
  const look = () => {
    // What lies beyond a lower canvas is left as it was.
    read.fill(0);
    gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, read);
    let red = 0;
    let blue = 0;
    for (let k = 0; k < read.length; k += 4) {
      if (read[k] > read[k + 2] + 20) red++;
      if (read[k + 2] > read[k] + 20) blue++;
    }
    return { red, blue };
  };
  let drawn = { red: 0, blue: 0 };
  for (let k = 0; k < 400 && drawn.red < 0.5 * width * height; k++) {
    view.step();
    drawn = look();
    await frame();
  }
  expect(drawn.red).toBeGreaterThan(0.5 * width * height);
  view.setCloth(closed([0.02, 0.02, 0.6]));
  // As when a drawer opens at the same time: the canvas is another, and empty.
  const lower = 240;
  renderer.setSize(width, lower, false);
  view.setSize(width, lower);
  let earlier = 0;
  for (let k = 0; k < 400 && drawn.blue < 0.5 * width * lower; k++) {
    view.step();
    drawn = look();
    expect(Math.min(drawn.red, drawn.blue)).toBe(0);
    // Never a bare bench: one of them is there, and the first is told to be the earlier one.
    expect(Math.max(drawn.red, drawn.blue)).toBeGreaterThan(0.5 * width * lower);
    expect(view.showsEarlier).toBe(drawn.red > 0);
    if (view.showsEarlier) earlier++;
    await frame();
  }
  expect(earlier).toBeGreaterThan(0);
  expect(drawn.blue).toBeGreaterThan(0.5 * width * lower);
  // Worked out more closely it is the same cloth.
  view.setCloth(closed([0.02, 0.02, 0.5]), true);
  view.step();
  expect(look().blue).toBeGreaterThan(0.5 * width * lower);
  expect(view.showsEarlier).toBe(false);
  view.setCloth(closed([0.6, 0.02, 0.02]));
  view.setCloth(closed([0.5, 0.02, 0.02]), true);
  view.step();
  // No picture of it was whole yet.
  expect(view.showsEarlier).toBe(look().blue > 0);
});

test('a picture of fewer or more pixels takes over whole from the one before, never by way of an empty bench', async () => {
  const [width, height] = [320, 240];
  const open = openView({ samples: 1 });
  open.renderer.setSize(width, height, false);
  open.view.setSize(width, height);
  open.view.setView({ ...LEVEL, centreMm: [12, 12], pixelsPerMm: 20 });
  const red = [round(1, [0.6, 0.02, 0.02])];
  open.view.setCloth(pack(clothFixture({ ends: 24, rows: 24, warp: red, weft: red })));
  const gl = open.renderer.getContext();
  const read = new Uint8Array(4 * width * height);
  const empty = () => {
    gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, read);
    let count = 0;
    for (let k = 0; k < read.length; k += 4) if (read[k] < read[k + 2] + 5) count++;
    return count;
  };
  const settle = async (check: () => void) => {
    while (open.view.step() === 'more') {
      check();
      await frame();
    }
  };
  await settle(() => {});
  // Corners between threads are dark; a bench seen through a part not drawn yet is far more.
  const corners = 0.02 * width * height;
  expect(empty()).toBeLessThan(corners);
  // The second motion has fewer pixels wherever the first one took long; then the table rests again.
  for (const moving of [true, false, true, false]) {
    open.view.setMoving(moving);
    await settle(() => expect(empty()).toBeLessThan(corners));
  }
  expect(open.shaderErrors).toEqual([]);
  open.close();
});

test('while the cloth moves on, its last picture goes with it, and the bench lies beyond', async () => {
  const [width, height] = [320, 240];
  const open = openView({ samples: 1 });
  open.renderer.setSize(width, height, false);
  open.view.setSize(width, height);
  const red = [round(1, [0.6, 0.02, 0.02])];
  open.view.setCloth(pack(clothFixture({ ends: 24, rows: 24, warp: red, weft: red })));
  const gl = open.renderer.getContext();
  const read = new Uint8Array(4 * width * height);
  /** Middle of what is red, px, and how much of the picture it is. */
  const cloth = () => {
    gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, read);
    let x = 0;
    let y = 0;
    let count = 0;
    for (let k = 0; k < width * height; k++) {
      if (read[4 * k] < read[4 * k + 2] + 20) continue;
      x += k % width;
      y += Math.floor(k / width);
      count++;
    }
    return { x: x / count, y: y / count, count };
  };
  const pose = { ...LEVEL, centreMm: [12, 12] as const, pixelsPerMm: 6 };
  open.view.setView(pose);
  while (open.view.step() === 'more') await frame();
  open.view.step();
  const before = cloth();
  open.view.setView({ ...pose, centreMm: [7, 10] });
  open.view.step();
  const moved = cloth();
  expect(moved.x - before.x).toBeCloseTo(30, 0);
  expect(moved.y - before.y).toBeCloseTo(12, 0);
  expect(moved.count / before.count).toBeCloseTo(1, 2);
  open.view.setView({ ...pose, pixelsPerMm: 3 });
  open.view.step();
  expect(cloth().count / before.count).toBeCloseTo(0.25, 1);
  expect(open.shaderErrors).toEqual([]);
  open.close();
});
