import { describe, expect, it } from 'vitest';
import { facetsInDisc, facetWindow } from '#engine/scatter/facetWindow.ts';
import { type Direction, direction, FacetBench } from './lightBench.ts';

/**
 * Of the light's own radiance. The closed form leaves out what facets hide of one another and the light's curvature; a lobe as
 * narrow as film's is met by it at a rim that rounds the light's outline by about its own width.
 */
const OF_RADIANCE = 0.06;
const WINDOW_RAD = 0.297;

/** What a film that reflects all returns of an even cap of light, by quadrature of its BRDF. */
function byQuadrature(bench: FacetBench, towards: Direction, halfAngle: number, toEye: Direction): number[] {
  const n = 160;
  const sum = [0, 0, 0];
  const [x, y, z] = towards;
  const flat = Math.hypot(x, y);
  const right = flat < 1e-6 ? [1, 0, 0] : [-y / flat, x / flat, 0];
  const up = [y * right[2] - z * right[1], z * right[0] - x * right[2], x * right[1] - y * right[0]];
  for (let a = 0; a < n; a++) {
    const cos = 1 - ((a + 0.5) / n) * (1 - Math.cos(halfAngle));
    const sin = Math.sqrt(1 - cos * cos);
    for (let b = 0; b < n; b++) {
      const turn = (2 * Math.PI * (b + 0.5)) / n;
      const [p, q] = [sin * Math.cos(turn), sin * Math.sin(turn)];
      const light = towards.map((each, k) => cos * each + p * right[k] + q * up[k]) as Direction;
      if (light[2] <= 0) continue;
      const value = bench.brdf(light, toEye, [1, 1, 1]);
      for (let c = 0; c < 3; c++) sum[c] += value[c] * light[2];
    }
  }
  const each = (2 * Math.PI * (1 - Math.cos(halfAngle))) / (n * n);
  return sum.map((value) => value * each);
}

const views: readonly (readonly [string, Direction, Direction])[] = [
  ['mirror, square on', direction(0, 0), direction(0, 0)],
  ['mirror at 40°', direction(40, 0), direction(40, 180)],
  ['the window’s rim', direction(17, 0), direction(0, 0)],
  ['an order in the ruling’s plane', direction(33, 0), direction(0, 0)],
  ['an order aslant', direction(42, 20), direction(10, 200)],
  ['out of every order', direction(50, 90), direction(0, 0)],
];

describe('a window in film', () => {
  it('facets in a disc: all of a wide one, α-wide half, and the density times the area of a small far one', () => {
    expect(facetsInDisc(0.1, 0, 100)).toBeCloseTo(1, 5);
    // 1 − 1/(1 + r²/α²): the cumulative form of GGX (Walter et al. 2007, eq. 35).
    expect(facetsInDisc(0.1, 0, 0.1)).toBeCloseTo(0.5, 12);
    const density = 0.1 ** 2 / (Math.PI * (0.1 ** 2 + 0.3 ** 2) ** 2);
    expect(facetsInDisc(0.1, 0.3, 0.001) / (density * Math.PI * 0.001 ** 2)).toBeCloseTo(1, 3);
  });

  describe.each([0.03, 0.08, 0.2])('roughness %f', (roughness) => {
    describe.each([0, 1])('pitch %f µm', (gratingPitchUm) => {
      const bench = new FacetBench({ kind: 'metal', roughness, coatEta: 1, metalReflectance: 1, gratingPitchUm });
      it.each(views)('%s: as the quadrature of its BRDF', (_name, towards, toEye) => {
        const found = facetWindow(
          [0, 0, 0],
          gratingPitchUm,
          towards,
          Math.cos(WINDOW_RAD),
          toEye,
          [0, 0, 1],
          [1, 0, 0],
          roughness,
        ) as number[];
        const whole = byQuadrature(bench, towards, WINDOW_RAD, toEye);
        for (let c = 0; c < 3; c++) expect(Math.abs(found[c] - whole[c]), `channel ${c}`).toBeLessThan(OF_RADIANCE);
      });
    });
  });
});
