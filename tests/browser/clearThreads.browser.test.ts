import { afterAll, describe, expect, test } from 'vitest';
import { linearFromHex } from '#engine/colour/colour.ts';
import { faceOptics } from '#engine/yarn/yarnOptics.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';
import { type ClothFixture, clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';

/** Linear light of an sRGB byte (IEC 61966-2-1). */
const linear = (byte: number): number => linearFromHex(`#${byte.toString(16).padStart(2, '0').repeat(3)}`)[0];
/** Of the share that goes through: 51 200 looks of chance 0.92 err by 0.0012, three times that and the byte's rounding. */
const SHARE = 0.006;

const LINE: YarnRecord = {
  format: 'forecloth-yarn',
  version: 2,
  id: 'line',
  name: 'clear line',
  fibre: 'nylon',
  tex: 400,
  plies: 1,
  shape: 'round',
  packingFraction: 1,
  fibreDensityGPerCm3: 1.14,
  bendingNmm2: [0.3, 0.6],
  compressibility: 'none',
  coneColour: '#ffffff',
  lustre: 'clear',
};

/** One straight clear end, 12 mm wide, between threads too thin and far off to be met. */
function loneEnd(strip: boolean): ClothFixture {
  const thin = { widthMm: 1e-4, heightMm: 1e-4 };
  const cloth = clothFixture({
    ends: 3,
    rows: 3,
    warp: [{ widthMm: 12, heightMm: strip ? 0.4 : 12, strip }, thin],
    weft: [thin],
    endYarn: (end) => (end === 1 ? 0 : 1),
    endX: (end) => (end - 1) * 60,
    rowY: (row) => (row - 1) * 20,
    warpShare: 0,
  });
  const optics = faceOptics(LINE, 'clear');
  const clear = { strands: [{ coneColour: [1, 1, 1] as const, optics: { ...optics, facetTiltRad: 0 } }] };
  return { ...cloth, materials: cloth.materials.map((each, k) => (k === 0 ? clear : each)) };
}

/** Two faces of a sheet, all passes between them: (1 − r)/(1 + r), r of both polarisations (Born & Wolf, 1.5). */
function sheetPasses(sine: number, eta: number): number {
  const ci = Math.sqrt(1 - sine * sine);
  const ct = Math.sqrt(1 - (sine / eta) ** 2);
  const square = ((ci - eta * ct) / (ci + eta * ct)) ** 2;
  const along = ((ct - eta * ci) / (ct + eta * ci)) ** 2;
  const r = (square + along) / 2;
  return (1 - r) / (1 + r);
}

describe('clear threads held against the window', () => {
  const { view, shaderErrors, close } = openView();
  afterAll(close);
  const { eta } = faceOptics(LINE, 'clear');

  async function lightThrough(strip: boolean, widthMm: number): Promise<number> {
    view.setCloth(pack(loneEnd(strip)));
    const [across, up] = [160, 20];
    view.setSize(across, up);
    const level = { yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, fieldOfViewRad: 0 };
    view.setView({ ...view.fitPose(), ...level, centreMm: [0, 0], pixelsPerMm: across / widthMm });
    view.setOptions({ backLit: true });
    const { pixels } = await view.capture(across, up, 16);
    expect(shaderErrors).toEqual([]);
    let light = 0;
    for (let p = 0; p < across * up; p++) light += linear(pixels[4 * p]);
    return light / (across * up);
  }

  test('flat film passes what two faces leave', async () => {
    // The middle 2 mm of a wide flat section lie level within 1°.
    expect(Math.abs((await lightThrough(true, 2)) - sheetPasses(0, eta))).toBeLessThan(SHARE);
  });

  test('a round line shows what lies behind it in its middle, and darkens towards its rim', async () => {
    const middle = await lightThrough(false, 4);
    let sum = 0;
    const steps = 200;
    for (let k = 0; k < steps; k++) sum += sheetPasses(((k + 0.5) / steps) * (2 / 6), eta);
    expect(Math.abs(middle - sum / steps)).toBeLessThan(SHARE);
    // Bent by more than 35° from 0.7 of the radius on (Snell: 2 (i − t)), it comes to look elsewhere.
    const whole = await lightThrough(false, 12);
    expect(whole).toBeLessThan(0.9 * middle);
    expect(whole).toBeGreaterThan(0.6 * middle);
  });
});
