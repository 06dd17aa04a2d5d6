import { afterAll, afterEach, describe, expect, test } from 'vitest';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { curledEnds, type Drape, drapeOver, placeOutOf } from '#engine/packing/walk/drape.ts';
import { MOST_BOUNCES } from '#render/viewUniforms.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { LEVEL, meanOf, plainCloth, setReflectance, traced, woundCard } from '#tests/helpers/traceScenes.ts';

const { view, shaderErrors, close } = openView({ background: [0, 0, 0] });
afterAll(close);
afterEach(() => expect(shaderErrors).toEqual([]));

const WHITE: LinearRgb = [1, 1, 1];
const matte = { evenRoom: true, lambert: true, mostBounces: MOST_BOUNCES };

const SIDE = 60;
const PX_PER_MM = 3;

/** Whether each pixel is cloth: the room is 1 all round, and what is half as bright is cloth. Bottom row first. */
async function clothAt(drape: Drape | null): Promise<boolean[]> {
  const picture = await traced(view, SIDE, SIDE, 4, { ...matte, drape });
  return Array.from({ length: SIDE * SIDE }, (_, k) => picture[4 * k + 1] < 0.9);
}

/** From the lowest cloth to the highest on the picture's upright through its middle, mm from there. */
function edges(cloth: boolean[]): [number, number] {
  const rows = Array.from({ length: SIDE }, (_, row) => cloth[row * SIDE + SIDE / 2]);
  return [(rows.indexOf(true) - SIDE / 2) / PX_PER_MM, (rows.lastIndexOf(true) + 1 - SIDE / 2) / PX_PER_MM];
}

/** The same on the level line, from the leftmost to the rightmost. */
function sideEdges(cloth: boolean[]): [number, number] {
  const row = cloth.slice((SIDE / 2) * SIDE, (SIDE / 2 + 1) * SIDE);
  return [(row.indexOf(true) - SIDE / 2) / PX_PER_MM, (row.lastIndexOf(true) + 1 - SIDE / 2) / PX_PER_MM];
}

/** Touching ends with nothing to see through, draped over 3 mm in its middle; from which y to which it is seen flat. */
async function drapedCard() {
  const card = setReflectance(pack(woundCard(WHITE)), [0.5, 0.5, 0.5]);
  view.setCloth(card);
  const { min, max } = card.bounds;
  const middle = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2] as const;
  view.setView({ ...LEVEL, centreMm: middle, pixelsPerMm: PX_PER_MM });
  const [low, high] = edges(await clothAt(null));
  return {
    drape: drapeOver(middle[1], 3),
    from: middle[1] + low,
    to: middle[1] + high,
    top: max[2],
    below: min[2],
    middle,
  };
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

  // Seen along the axis: a ring's quarter as thick as the cloth, and straight lines from its ends (closed form).
  test('its profile is the cylinder’s', async () => {
    const { drape, from, to, top, below, middle } = await drapedCard();
    view.setView({ ...LEVEL, centreMm: [middle[0], drape.axisMm], pixelsPerMm: PX_PER_MM, yawRad: Math.PI / 2 });
    const cloth = await clothAt(drape);
    const hem = placeOutOf(drape, drape.joints, from, 0)[1] + drape.radiusMm;
    const pixel = 1 / PX_PER_MM;
    let seen = 0;
    for (let row = 0; row < SIDE; row++) {
      for (let column = 0; column < SIDE; column++) {
        // From the axis; to the right is out of the face.
        const z = (column + 0.5 - SIDE / 2) / PX_PER_MM + drape.radiusMm;
        const y = (row + 0.5 - SIDE / 2) / PX_PER_MM;
        const off = (y >= 0 ? z : z <= 0 ? -y : Math.hypot(y, z)) - drape.radiusMm;
        // Single ends stand out beyond its edges.
        if (y + drape.axisMm > to || z < hem) continue;
        // How far outside it a place is; less than 0 inside.
        const outside = Math.max(off - top, below - off);
        if (outside < -0.5 * pixel) {
          // The strips below the ends are thinner than bounds say.
          if (off > 0) expect(cloth[row * SIDE + column]).toBe(true);
          seen++;
        } else if (outside > pixel) expect(cloth[row * SIDE + column]).toBe(false);
      }
    }
    expect(seen).toBeGreaterThan(80);
  });

  test('from above it ends where the hanging part stands, from before it reaches from the edge down to its hem', async () => {
    const { drape, from, to, top, middle } = await drapedCard();
    const pixel = 1.01 / PX_PER_MM;
    const [low, high] = edges(await clothAt(drape));
    expect(Math.abs(low - (drape.axisMm - drape.radiusMm - top - middle[1]))).toBeLessThan(pixel);
    expect(Math.abs(high - (to - middle[1]))).toBeLessThan(pixel);
    view.setView({ ...LEVEL, centreMm: middle, pixelsPerMm: PX_PER_MM, pitchRad: Math.PI / 2 });
    const [hem, highest] = edges(await clothAt(drape));
    expect(Math.abs(hem - placeOutOf(drape, drape.joints, from, 0)[1])).toBeLessThan(pixel);
    expect(Math.abs(highest - top)).toBeLessThan(pixel);
  });

  // Rolled by half a turn about cylinders of radius R: each outermost place is R and half a thickness out from its axis.
  test('ends that curl to the back reach out as far as their rolls, across as along; those that curl to the face stand up', async () => {
    const { from, to, top, below, middle } = await drapedCard();
    const roll = { radiusMm: 2, turnRad: Math.PI };
    const pixel = 1.01 / PX_PER_MM;
    const along = curledEnds([from, to], { ...roll, to: 'back', acrossWidth: false });
    const [low, high] = edges(await clothAt(along));
    expect(Math.abs(low + middle[1] - (along.axisMm - 2 - top))).toBeLessThan(pixel);
    expect(Math.abs(high + middle[1] - (along.farAxisMm + 2 + top))).toBeLessThan(pixel);
    const [left, right] = sideEdges(await clothAt(null));
    const across = curledEnds([middle[0] + left, middle[0] + right], { ...roll, to: 'back', acrossWidth: true });
    const [rolledLeft, rolledRight] = sideEdges(await clothAt(across));
    expect(Math.abs(rolledLeft + middle[0] - (across.axisMm - 2 - top))).toBeLessThan(pixel);
    expect(Math.abs(rolledRight + middle[0] - (across.farAxisMm + 2 + top))).toBeLessThan(pixel);
    view.setView({ ...LEVEL, centreMm: middle, pixelsPerMm: PX_PER_MM, pitchRad: Math.PI / 2 });
    const [, highest] = edges(await clothAt(curledEnds([from, to], { ...roll, to: 'face', acrossWidth: false })));
    expect(highest).toBeGreaterThan(4 - pixel);
    expect(highest).toBeLessThan(4 - below + pixel);
    const [lowest] = edges(await clothAt(along));
    expect(lowest).toBeLessThan(-4 + pixel);
    expect(lowest).toBeGreaterThan(-4 - top - pixel);
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
