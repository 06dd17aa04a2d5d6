import { afterAll, afterEach, describe, expect, test } from 'vitest';
import type { YarnHair } from '#engine/yarn/hair.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { pack } from '#tests/helpers/clothProbe.ts';
import { LinearProbe, meanOf } from '#tests/helpers/farScenes.ts';
import { chenille, fuzz, loops, pile, withHair } from '#tests/helpers/hairScenes.ts';
import { net, withMesh } from '#tests/helpers/meshScenes.ts';
import { plainCloth } from '#tests/helpers/traceScenes.ts';

/**
 * Rays to the light through columns of bodies, held to the same rays walked from thread to thread: the two share directions and
 * samples, so that what differs is what texels and steps leave out.
 */
const SIZE = 48;
const SAMPLES = 12;
/** Pixels on a side that noise is taken out by. */
const BLOCK = 4;
const round = (widthMm: number, heightMm = widthMm) => ({ widthMm, heightMm });
const NEAR = { centreMm: [6, 6] as const, pixelsPerMm: 10, fieldOfViewRad: 0 };

const sateenOf = (side: number) =>
  clothFixture({
    ends: side,
    rows: side,
    warp: [round(0.8, 0.7)],
    weft: [round(0.8, 0.7)],
    warpUp: (row, end) => (end + 8 * side - 3 * row) % 8 === 0,
  });
/** Two plain cloths, face and back ends and picks in turn: four bodies over most places. */
const double = clothFixture({
  ends: 14,
  rows: 14,
  warp: [round(0.5)],
  weft: [round(0.5)],
  warpUp: (row, end) =>
    row % 2 === 0 ? end % 2 === 1 || (row / 2 + (end >> 1)) % 2 === 0 : end % 2 === 1 && (row + end) % 4 === 0,
});

const hairy = (hair: YarnHair) => pack(withHair(plainCloth([0.6, 0.5, 0.4], [0.2, 0.3, 0.5]), hair));

const cloths = [
  { name: 'plain', cloth: pack(plainCloth([0.6, 0.5, 0.4], [0.2, 0.3, 0.5])) },
  { name: 'sateen', cloth: pack(sateenOf(14)) },
  { name: 'double cloth', cloth: pack(double) },
  { name: 'fuzz on plain', cloth: hairy(fuzz({ perMm: 8 })) },
  {
    name: 'long dense hair',
    cloth: hairy(fuzz({ perMm: 30, meanLengthMm: 2, longestMm: 4, heightMm: 2, diameterMm: 0.03 })),
  },
  { name: 'hair raised on one side', cloth: hairy(fuzz({ perMm: 30, diameterMm: 0.03, onFace: 0.9 })) },
  { name: 'pile', cloth: hairy(pile()) },
  { name: 'loops', cloth: hairy(loops()) },
];

/** Root mean square of how far two pictures' blocks differ, in green. */
function strays(a: Float32Array, b: Float32Array): number {
  let square = 0;
  for (let y = 0; y < SIZE; y += BLOCK) {
    for (let x = 0; x < SIZE; x += BLOCK) {
      let sum = 0;
      for (let k = 0; k < BLOCK * BLOCK; k++) {
        const at = ((y + Math.floor(k / BLOCK)) * SIZE + x + (k % BLOCK)) * 4 + 1;
        sum += a[at] - b[at];
      }
      square += (sum / BLOCK ** 2) ** 2;
    }
  }
  return Math.sqrt(square) / (SIZE / BLOCK);
}

describe('light through columns', () => {
  const probe = new LinearProbe();
  afterAll(() => probe.close());
  afterEach(() => expect(probe.errors).toEqual([]));

  const draw = (pose: object, walkLight: boolean) =>
    probe.picture({ ...NEAR, ...pose }, NORTH_LIGHT, SIZE, SAMPLES, { fine: true, walkLight });

  // With 16 texels to a pitch, the fewest; with 24 means differ by 0.2 %, with 90 by 0.05 % (docs/measurements.md).
  test.each(cloths)('falls on $name as walked', ({ cloth }) => {
    probe.drawer.setCloth(cloth);
    const turned = { yawRad: 0.5, pitchRad: 0.8, turnedOver: true };
    const walked = draw(turned, true);
    const through = draw(turned, false);
    expect(through).not.toEqual(walked);
    const [a, b] = [meanOf(walked)[1], meanOf(through)[1]];
    expect(Math.abs(b / a - 1)).toBeLessThan(0.015);
    expect(strays(walked, through) / a).toBeLessThan(0.03);
  });

  // Rays that are walked take a thread as straight: these are. A field that blurred the pile's ends would be 3 % darker.
  test('falls on chenille through a field of its pile as walked', () => {
    const straight = clothFixture({ ends: 5, rows: 5, warp: [round(0.8)], weft: [round(0.3)], warpShare: 0 });
    const cloth = pack(withHair(straight, chenille(), 'warp'));
    const close = { centreMm: [1.6, 2.2] as const, pixelsPerMm: 48 };
    probe.drawer.setCloth(cloth);
    for (const pose of [close, { ...close, yawRad: 0.5, pitchRad: 0.8, turnedOver: true }]) {
      const walked = draw(pose, true);
      const through = draw(pose, false);
      // Heights of a field are none where threads are asked.
      const heights = probe.drawer.programs.uniforms.uHairHeights.value;
      expect(heights.y).toBeGreaterThan(heights.x);
      const [a, b] = [meanOf(walked)[1], meanOf(through)[1]];
      expect(Math.abs(b / a - 1)).toBeLessThan(0.01);
      expect(strays(walked, through) / a).toBeLessThan(0.02);
    }
  });

  // Chance decides layer by layer where rays are walked, once a ray through columns: only the mean is the same.
  test('falls on nets as walked', () => {
    probe.drawer.setCloth(pack(withMesh(plainCloth([0.6, 0.5, 0.4], [0.2, 0.3, 0.5]), net({}))));
    for (const pose of [{}, { yawRad: 0.5, pitchRad: 0.8, turnedOver: true }]) {
      const walked = draw(pose, true);
      const through = draw(pose, false);
      expect(through).not.toEqual(walked);
      expect(Math.abs(meanOf(through)[1] / meanOf(walked)[1] - 1)).toBeLessThan(0.02);
    }
  });

  test('does not depend on how much is made at a time', () => {
    probe.drawer.setCloth(cloths[1].cloth);
    const scene = { pose: { ...NEAR, yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false }, light: NORTH_LIGHT };
    probe.drawer.setScene({ ...scene, background: [0, 0, 0], backLit: false, fine: true }, SIZE, SIZE, 1);
    let turns = 0;
    while (!probe.drawer.prepareLight(SIZE * SIZE)) turns++;
    expect(turns).toBeGreaterThan(1);
    expect(turns).toBeLessThan(20);
  });

  test('walks where threads have few texels', () => {
    probe.drawer.setCloth(pack(sateenOf(40)));
    const whole = { centreMm: [20, 20], pixelsPerMm: 1 };
    expect(draw(whole, false)).toEqual(draw(whole, true));
  });
});
