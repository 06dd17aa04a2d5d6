import { afterAll, afterEach, describe, expect, test } from 'vitest';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { MOST_BOUNCES } from '#render/viewUniforms.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { LinearProbe } from '#tests/helpers/farScenes.ts';
import { net, paintedNet, withMesh } from '#tests/helpers/meshScenes.ts';
import { LEVEL, meanOf, plainCloth, setReflectance, traced } from '#tests/helpers/traceScenes.ts';

const WHITE: LinearRgb = [1, 1, 1];
const GREY: LinearRgb = [0.4, 0.4, 0.4];
/** Layers lie otherwise from thread to thread, and a kind of crossing is looked at in some of its places only. */
const NEAR_FAR = 0.05;
const over = { ...LEVEL, centreMm: [6.5, 6.5] as const, pixelsPerMm: 12 };
const fine = net({ pitchMm: 0.4, barMm: 0.06, turnsPerMm: 0.05 });
/** Bars of another colour than the strand within. */
const other = { bars: { ...plainCloth(GREY, [0.1, 0.4, 0.5]).materials[1].strands[0] }, coreShare: 0.5 };
const wound = { ...fine, bars: plainCloth(GREY, GREY).materials[1].strands[0], coreShare: 0.5 };

describe('light and net', () => {
  const { view, shaderErrors, close } = openView({ background: [0, 0, 0] });
  afterAll(close);
  afterEach(() => expect(shaderErrors).toEqual([]));

  // As with hair: bodies hold the furnace to 0.01 by their tables; the mean of 160 samples of 576 pixels adds 0.003.
  test('a white furnace with net returns all light that meets it', async () => {
    view.setCloth(setReflectance(pack(withMesh(plainCloth(WHITE, WHITE), fine)), WHITE));
    view.setView({ ...over, yawRad: 0.3 });
    // Where the eye sees through, it sees the even room's own light left out: a white ground stands in for it.
    view.setOptions({ background: WHITE });
    const [, mean] = meanOf(await traced(view, 24, 24, 160, { evenRoom: true, mostBounces: MOST_BOUNCES }));
    expect(Math.abs(mean - 1)).toBeLessThan(0.015);
  });

  // Layers are a medium to the frame's light and looked at one by one by the reference; light between threads is estimated,
  // as with hair.
  test.each([
    { name: 'one of three layers', mesh: fine },
    { name: 'one of six layers, mostly bars', mesh: net({ pitchMm: 0.4, barMm: 0.12, layers: 6 }) },
    { name: 'wound about a strand', mesh: wound },
  ])('with net, $name, the picture is near its traced reference', async ({ mesh }) => {
    view.setOptions({ background: [0, 0, 0] });
    view.setCloth(pack(withMesh(plainCloth(GREY, GREY), mesh)));
    view.setView(over);
    const [, reference] = meanOf(await traced(view, 40, 40, 48, { mostBounces: MOST_BOUNCES }));
    const { pixels } = await view.capture(40, 40, 32);
    let sum = 0;
    for (let k = 1; k < pixels.length; k += 4) sum += linear(pixels[k]);
    expect(Math.abs(sum / (pixels.length / 4) / reference - 1)).toBeLessThan(0.15);
  });
});

describe('near and far', () => {
  const probe = new LinearProbe();
  afterAll(() => probe.close());

  const weft = { widthMm: 0.8, heightMm: 0.6, colour: [0.65, 0.6, 0.4] as const, strip: true };
  const plain = clothFixture({
    ends: 120,
    rows: 120,
    warp: [{ widthMm: 0.5, heightMm: 0.4, colour: [0.1, 0.2, 0.5] }],
    weft: [weft],
    periodEnds: 2,
    periodRows: 2,
  });
  const beads = {
    of: 'length' as const,
    lengthMm: 90,
    startMm: 0,
    stops: [
      { from: 0, coneColour: [0.7, 0.1, 0.1] as const },
      { from: 0.5, coneColour: [0.1, 0.6, 0.2] as const },
      { from: 0.8, coneColour: [0.6, 0.6, 0.6] as const },
    ],
  };
  const variegated = {
    ...plain,
    materials: plain.materials.map((each, k) =>
      k === 1 ? { ...each, strands: each.strands.map((strand) => ({ ...strand, colours: beads })) } : each,
    ),
  };

  test.each([
    { name: 'net', cloth: withMesh(plain, fine) },
    { name: 'net wound about another strand', cloth: withMesh(plain, { ...fine, ...other }) },
    {
      name: 'net with paint and glitter',
      cloth: withMesh(plain, paintedNet({ pitchMm: 0.5, barMm: 0.07 })),
    },
    { name: 'a yarn that changes colour along its length', cloth: variegated },
  ])('are one cloth with $name, at 0, 40 and 65 degrees', async ({ cloth }) => {
    probe.setCloth(pack(cloth));
    for (const pitch of [0, 40, 65]) {
      const pose = { centreMm: [59.5, 59.5] as const, pixelsPerMm: 0.5, pitchRad: (pitch * Math.PI) / 180 };
      const near = meanOf(probe.picture(pose, NORTH_LIGHT, 16, 96, { walkAll: true }));
      const far = meanOf(probe.picture(pose, NORTH_LIGHT, 16, 1, { fine: true }));
      expect(probe.errors).toEqual([]);
      near.forEach((value, k) => {
        expect(Math.abs(far[k] / value - 1), `pitch ${pitch}, channel ${k}`).toBeLessThan(NEAR_FAR);
      });
    }
  });
});

/** Of an sRGB byte. */
function linear(byte: number): number {
  const c = byte / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}
