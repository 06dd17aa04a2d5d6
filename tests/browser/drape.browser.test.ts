import { afterAll, afterEach, describe, expect, test } from 'vitest';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { drapeOver, placeOutOf } from '#engine/packing/walk/drape.ts';
import { MOST_BOUNCES } from '#render/clothPrograms.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { LEVEL, meanOf, plainCloth, setReflectance, traced, woundCard } from '#tests/helpers/traceScenes.ts';

const { view, shaderErrors, close } = openView({ background: [0, 0, 0] });
afterAll(close);
afterEach(() => expect(shaderErrors).toEqual([]));

const WHITE: LinearRgb = [1, 1, 1];
const matte = { evenRoom: true, lambert: true, mostBounces: MOST_BOUNCES };

/** Touching ends with nothing to see through, draped over 3 mm in its middle. */
function drapedCard() {
  const card = setReflectance(pack(woundCard(WHITE)), [0.5, 0.5, 0.5]);
  view.setCloth(card);
  const { min, max } = card.bounds;
  const middle = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2] as const;
  return { drape: drapeOver(middle[1], 3), min, max, middle };
}

const SIDE = 48;
const PX_PER_MM = 3;

/** Whether each pixel is cloth: the room is 1 all round, and what is half as bright is cloth. Bottom row first. */
async function clothAt(drape: ReturnType<typeof drapeOver>): Promise<boolean[]> {
  const picture = await traced(view, SIDE, SIDE, 4, { ...matte, drape });
  return Array.from({ length: SIDE * SIDE }, (_, k) => picture[4 * k + 1] < 0.9);
}

describe('cloth draped over an edge', () => {
  test('above the edge it is as it was drawn flat', async () => {
    view.setCloth(pack(plainCloth([0.6, 0.3, 0.2], [0.2, 0.4, 0.5])));
    view.setView({ ...LEVEL, centreMm: [6.5, 6.5], pixelsPerMm: 4, yawRad: 0.4, pitchRad: -0.5 });
    const flat = await traced(view, 32, 32, 8);
    const draped = await traced(view, 32, 32, 8, { drape: drapeOver(-60, 10) });
    // The same random numbers, but for roundings that turn a path now and then.
    const apart = Array.from(flat, (value, k) => Math.abs(value - draped[k])).sort((a, b) => a - b);
    expect(apart[Math.floor(0.9 * apart.length)]).toBeLessThan(1e-3);
    for (let c = 0; c < 3; c++) expect(meanOf(draped)[c]).toBeCloseTo(meanOf(flat)[c], 2);
  });

  // Profiles seen along the axis: a ring's quarter as thick as the cloth, and straight lines from its ends (closed form).
  test('its profile is the cylinder’s', async () => {
    const { drape, min, max, middle } = drapedCard();
    view.setView({ ...LEVEL, centreMm: [middle[0], drape.axisYMm], pixelsPerMm: PX_PER_MM, yawRad: Math.PI / 2 });
    const cloth = await clothAt(drape);
    let wrong = 0;
    let seen = 0;
    for (let row = 0; row < SIDE; row++) {
      for (let column = 0; column < SIDE; column++) {
        // To the right is out of the face; heights from the axis.
        const z = (column + 0.5 - SIDE / 2) / PX_PER_MM + drape.radiusMm;
        const y = (row + 0.5 - SIDE / 2) / PX_PER_MM;
        const off = y >= 0 ? z : z <= 0 ? -y : Math.hypot(y, z);
        const along =
          y >= 0
            ? y + drape.axisYMm < max[1]
            : z > 0 || z - drape.radiusMm > placeOutOf(drape, drape.joints, min[1], 0)[1];
        const expected = along && off > drape.radiusMm + min[2] && off < drape.radiusMm + max[2];
        if (expected) seen++;
        if (expected !== cloth[row * SIDE + column]) wrong++;
      }
    }
    expect(seen).toBeGreaterThan(80);
    // Pixels that the outline passes through may go either way: it is about as long as the cloth on either side.
    expect(wrong).toBeLessThan(0.6 * 2 * (max[1] - min[1]) * PX_PER_MM);
    expect(wrong).toBeLessThan(0.5 * seen);
  });

  test('from above it ends where the hanging part stands, from before it reaches from the edge down to its hem', async () => {
    const { drape, min, max, middle } = drapedCard();
    const edges = (cloth: boolean[]) => {
      const rows = Array.from({ length: SIDE }, (_, row) => cloth[row * SIDE + SIDE / 2]);
      return [rows.indexOf(true), rows.lastIndexOf(true) + 1].map((row) => (row - SIDE / 2) / PX_PER_MM);
    };
    view.setView({ ...LEVEL, centreMm: middle, pixelsPerMm: PX_PER_MM });
    const [low, high] = edges(await clothAt(drape));
    const pixel = 1.01 / PX_PER_MM;
    expect(Math.abs(low - (drape.axisYMm - drape.radiusMm - max[2] - middle[1]))).toBeLessThan(pixel);
    expect(Math.abs(high - (max[1] - middle[1]))).toBeLessThan(pixel);
    view.setView({ ...LEVEL, centreMm: middle, pixelsPerMm: PX_PER_MM, pitchRad: Math.PI / 2 });
    const [hem, top] = edges(await clothAt(drape));
    expect(Math.abs(hem - placeOutOf(drape, drape.joints, min[1], 0)[1])).toBeLessThan(pixel);
    expect(Math.abs(top - max[2])).toBeLessThan(pixel);
  });

  test('a white furnace of perfectly matte threads stays 1', async () => {
    view.setCloth(setReflectance(pack(plainCloth(WHITE, WHITE)), WHITE));
    view.setView({ ...LEVEL, centreMm: [6.5, 6.5], pixelsPerMm: 2.5, pitchRad: 0.9 });
    const picture = await traced(view, 32, 32, 16, { ...matte, drape: drapeOver(6.5, 3) });
    let worst = 0;
    for (let k = 1; k < picture.length; k += 4) worst = Math.max(worst, Math.abs(picture[k] - 1));
    // As flat: one path in some thousands is still within the cloth after 32 bounces.
    expect(worst).toBeLessThan(0.07);
    expect(Math.abs(meanOf(picture)[1] - 1)).toBeLessThan(5e-4);
  });
});
