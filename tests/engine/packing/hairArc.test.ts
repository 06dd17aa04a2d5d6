import { describe, expect, it } from 'vitest';
import { layArc } from '#engine/packing/hairArc.ts';
import { HAIR_POINTS, latticeOf, layHairs } from '#engine/packing/hairTable.ts';
import { yarnHair } from '#engine/yarn/hair.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import { fuzz } from '#tests/helpers/hairScenes.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

const RADIUS_MM = 0.5;
const wide = { alongMm: 200, aroundRad: 7, radiusMm: RADIUS_MM, restMm: 0, heightMm: 100 };

type Point = readonly number[];
const placeOf = ([x, high, phi]: Point): Point => [
  x,
  (RADIUS_MM + high) * Math.cos(phi),
  (RADIUS_MM + high) * Math.sin(phi),
];
const between = (a: Point, b: Point) => Math.hypot(...a.map((each, axis) => each - b[axis]));
const onCurve = ([a, b, c]: readonly Point[], f: number): Point =>
  a.map((each, axis) => (1 - f) ** 2 * each + 2 * f * (1 - f) * b[axis] + f * f * c[axis]);

function lengthOf(points: readonly Point[]): number {
  let sum = 0;
  for (let k = 0; k < 64; k++) sum += between(onCurve(points, k / 64), onCurve(points, (k + 1) / 64));
  return sum;
}

describe('hair that bends evenly', () => {
  // A circle of radius R: chord 2 R sin(turn / 2), and R (1 - cos(turn / 2)) from the chord to the arc's middle.
  it.each([
    [2, 0.27],
    [6, 0.27],
    [8, 0.1],
  ])('is an arc of a circle: %f mm long, %f rad to the mm, seed 4', (length, curvature) => {
    const random = seededRandom(4);
    for (let k = 0; k < 40; k++) {
      // Upright or nearly so: it does not come down to the body again.
      const points = layArc(fuzz({ leanMeanRad: 0.3 }), curvature, length, wide, () => random()).map(placeOf);
      const half = (length * curvature) / 2;
      const middle = points[0].map((each, axis) => (each + points[2][axis]) / 2);
      expect(between(points[0], points[2])).toBeCloseTo((2 / curvature) * Math.sin(half), 6);
      expect(between(onCurve(points, 0.5), middle)).toBeCloseTo((1 - Math.cos(half)) / curvature, 6);
      expect(lengthOf(points) / length).toBeGreaterThan(0.97);
      expect(lengthOf(points) / length).toBeLessThan(1.03);
    }
  });

  it('keeps within its room, and is cut short where there is none of its length', () => {
    const random = seededRandom(5);
    const room = { alongMm: 3, aroundRad: 1.4, radiusMm: RADIUS_MM, restMm: 0, heightMm: 2 };
    let cut = 0;
    for (let k = 0; k < 400; k++) {
      const length = 8 * random();
      const points = layArc(fuzz({ leanMeanRad: 1 }), 0.5 * random(), length, room, () => random());
      for (const [along, high, phi] of points) {
        expect(along).toBeGreaterThan(-1e-9);
        expect(along).toBeLessThan(room.alongMm + 1e-9);
        expect(phi).toBeGreaterThan(-1e-9);
        expect(phi).toBeLessThan(room.aroundRad + 1e-9);
        expect(high).toBeGreaterThanOrEqual(0);
      }
      const places = points.map(placeOf);
      for (let f = 0; f <= 1; f += 0.125) {
        const [, y, z] = onCurve(places, f);
        expect(Math.hypot(y, z) - RADIUS_MM).toBeLessThan(room.heightMm + 1e-6);
      }
      if (lengthOf(places) < 0.9 * length) cut++;
    }
    expect(cut).toBeGreaterThan(20);
    expect(cut).toBeLessThan(380);
  });

  // Of mohair's fibres the standard deviation of diameters is 24 to 29 % of their mean (from memory of fleece testing).
  it('brushed mohair’s hairs vary in thickness as a fleece’s do, and bow', async () => {
    const card = (await readAllYarnPresets()).find(({ id }) => id === 'mohair-brushed');
    const hair = card && yarnHair(card);
    if (!hair) throw new Error('brushed mohair has no hair');
    const table = layHairs(hair, latticeOf(hair, RADIUS_MM), RADIUS_MM, hair.heightMm);
    const widths: number[] = [];
    let bowed = 0;
    for (let at = 0; at < table.length; at += 4 * HAIR_POINTS) {
      widths.push(Math.hypot(table[at + 2], table[at + 3]));
      const points = [0, 4, 8].map((k) =>
        placeOf([table[at + k], k === 0 ? 0 : table[at + k + 1], Math.atan2(table[at + k + 3], table[at + k + 2])]),
      );
      const middle = points[0].map((each, axis) => (each + points[2][axis]) / 2);
      if (between(onCurve(points, 0.5), middle) > 0.1 * between(points[0], points[2])) bowed++;
    }
    const mean = widths.reduce((sum, each) => sum + each, 0) / widths.length;
    const spread = Math.sqrt(widths.reduce((sum, each) => sum + (each - mean) ** 2, 0) / widths.length) / mean;
    expect(spread).toBeGreaterThan(0.24);
    expect(spread).toBeLessThan(0.29);
    expect(bowed / widths.length).toBeGreaterThan(0.3);
  });
});
