import { describe, expect, test } from 'vitest';
import { curledEnds, drapeOver, footYMm, panelAt, placeInto, placeOutOf } from '#engine/packing/walk/drape.ts';

const drape = drapeOver(50, 12);
const places = Array.from({ length: 201 }, (_, k) => 10 + 0.4 * k);
const onMiddle = (yMm: number) => placeOutOf(drape, panelAt(drape, yMm), yMm, 0);
const fromAxis = ([y, z]: readonly [number, number]) => Math.hypot(y - drape.axisMm, z + drape.radiusMm);

describe('a cloth draped over an edge', () => {
  test('lies flat above, and hangs straight down below', () => {
    for (const yMm of places.filter((y) => y > 60)) {
      expect(onMiddle(yMm)[0]).toBeCloseTo(yMm, 12);
      expect(onMiddle(yMm)[1]).toBeCloseTo(0, 12);
    }
    const hanging = places.filter((y) => y < 39).map(onMiddle);
    for (const [y] of hanging) expect(y).toBeCloseTo(drape.axisMm - drape.radiusMm, 12);
    for (let k = 1; k < hanging.length; k++) expect(hanging[k][1] - hanging[k - 1][1]).toBeCloseTo(0.4, 12);
  });

  // A polygon about a circle (closed form): its sides touch it, its corners stand off by R (1/cos(turn/2) − 1).
  test('keeps to the cylinder in between, by no more than a corner stands off', () => {
    const corner = drape.radiusMm / Math.cos(drape.jointRad / 2);
    for (let k = 1; k < drape.joints; k++) {
      expect(fromAxis(placeOutOf(drape, k, footYMm(drape, k), 0))).toBeCloseTo(drape.radiusMm, 12);
    }
    const bent = places.filter((y) => Math.abs(y - 50) < 8);
    for (const yMm of bent) {
      expect(fromAxis(onMiddle(yMm))).toBeGreaterThanOrEqual(drape.radiusMm - 1e-9);
      expect(fromAxis(onMiddle(yMm))).toBeLessThanOrEqual(corner + 1e-9);
    }
    expect(corner / drape.radiusMm - 1).toBeLessThan(1e-3);
  });

  test('is nowhere torn or stretched along its middle', () => {
    for (let k = 0; k < drape.joints; k++) {
      const joint = (footYMm(drape, k) + footYMm(drape, k + 1)) / 2;
      const [a, b] = [placeOutOf(drape, k, joint, 0), placeOutOf(drape, k + 1, joint, 0)];
      expect(Math.hypot(a[0] - b[0], a[1] - b[1])).toBeLessThan(1e-9);
    }
    // The bend takes a quarter of the circle's way round, up to the polygon's own length.
    const bentMm = footYMm(drape, 0) - footYMm(drape, drape.joints);
    expect(bentMm / ((Math.PI / 2) * drape.radiusMm)).toBeCloseTo(1, 3);
    expect((footYMm(drape, 0) + footYMm(drape, drape.joints)) / 2).toBeCloseTo(50, 12);
  });

  test('is laid flat again by the way back', () => {
    for (const k of [0, 1, 7, drape.joints]) {
      const [y, z] = placeInto(drape, k, ...placeOutOf(drape, k, 47.3, -0.8));
      expect(y).toBeCloseTo(47.3, 12);
      expect(z).toBeCloseTo(-0.8, 12);
    }
  });
});

describe('a cloth whose ends curl', () => {
  const turnRad = 3.9;
  const rolled = (to: 'face' | 'back') => curledEnds([-20, 90], { radiusMm: 8, turnRad, to, acrossWidth: false });
  const place = (to: 'face' | 'back', yMm: number) => placeOutOf(rolled(to), panelAt(rolled(to), yMm), yMm, 0);

  // Arc of a circle (closed form): the edge lies s/R on from where the cloth leaves the flat.
  test.each([
    ['face', 1],
    ['back', -1],
  ] as const)('both edges end on the circle, as far round as they roll, to the %s', (to, side) => {
    const { axisMm, farAxisMm } = rolled(to);
    for (const [edgeMm, axis, out] of [
      [-20, axisMm, -1],
      [90, farAxisMm, 1],
    ] as const) {
      const [y, z] = place(to, edgeMm);
      expect(y).toBeCloseTo(axis + out * 8 * Math.sin(turnRad), 9);
      expect(z).toBeCloseTo(side * 8 * (1 - Math.cos(turnRad)), 9);
      // What is rolled up is as long as the arc, up to the polygon's own length.
      expect((Math.abs(edgeMm - axis) / (8 * turnRad) - 1) * 1e3).toBeLessThan(2);
    }
  });

  test('is flat between, whole at the joints, and laid flat again by the way back', () => {
    const drape = rolled('face');
    expect(place('face', 35)).toEqual([35, 0]);
    for (let k = -drape.farJoints; k < drape.joints; k++) {
      if (k !== 0 && k !== -1) {
        const joint = (footYMm(drape, k) + footYMm(drape, k + 1)) / 2;
        const [a, b] = [placeOutOf(drape, k, joint, 0), placeOutOf(drape, k + 1, joint, 0)];
        expect(Math.hypot(a[0] - b[0], a[1] - b[1])).toBeLessThan(1e-9);
      }
      const [y, z] = placeInto(drape, k, ...placeOutOf(drape, k, 47.3, -0.8));
      expect(y).toBeCloseTo(47.3, 9);
      expect(z).toBeCloseTo(-0.8, 9);
    }
  });
});
