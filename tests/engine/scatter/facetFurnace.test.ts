import { describe, expect, it } from 'vitest';
import { facetAlbedo, metalReflectance, sheetTransmittance } from '#engine/scatter/facetBrdf.ts';
import { facetDensity, facetLambda, facetVisibility } from '#engine/scatter/facets.ts';
import { conductorFresnel, dielectricFresnel, sheetReflectance } from '#engine/scatter/fresnel.ts';
import { ALUMINIUM_IN_LACQUER } from '#engine/yarn/filmOptics.ts';
import { DEGREE, type Direction, direction, eachHalf, FacetBench } from './lightBench.ts';

const FURNACE = 0.01;
const CLEAR: Direction = [1, 1, 1];

describe('white furnace of film', () => {
  it.each([0.05, 0.08, 0.2, 0.35, 0.5, 0.8, 1])('facets that reflect all return all, α = %d', (roughness) => {
    for (const coatEta of [1, 1.5]) {
      const bench = new FacetBench({ kind: 'metal', roughness, coatEta, metalReflectance: 1 });
      for (const polar of [0, 20, 40, 60, 70, 80]) {
        const returned = bench.furnace(direction(polar, 30), CLEAR)[1];
        expect(Math.abs(returned - 1), `${polar}°`).toBeLessThanOrEqual(FURNACE);
      }
    }
  });

  it('without scale factors one bounce returns 0.306 at α = 1', () => {
    // Directional albedo of one bounce at normal incidence, F = 1: .88, .70, .306 at α = .25, .5, 1 (computed elsewhere).
    for (const [alpha, expected] of [[1, 0.306]] as const) {
      const bench = new FacetBench({ kind: 'metal', roughness: alpha, coatEta: 1, metalReflectance: 1 });
      for (let k = 0; k < bench.table.data.length; k += 4) (bench.table.data as Float32Array)[k] = 1;
      expect(bench.furnace(direction(0, 0), CLEAR)[0]).toBeCloseTo(expected, 2);
    }
  });

  it('a clear sheet returns and passes 1 together, at every angle and roughness', () => {
    for (const roughness of [0.05, 0.15, 0.4]) {
      const bench = new FacetBench({ kind: 'clear', roughness, coatEta: 1.573, metalReflectance: 0 });
      for (const polar of [0, 30, 60, 75, 80]) {
        const out = direction(polar, 10);
        const returned = bench.furnace(out, CLEAR)[1];
        const passed: Direction = [0, 0, 0];
        sheetTransmittance(passed, bench.setting, CLEAR, bench.o);
        expect(Math.abs(returned + passed[1] - 1), `α ${roughness}, ${polar}°`).toBeLessThanOrEqual(FURNACE);
      }
    }
  });

  it('PET sheet: 9.5 % back, 90.5 % through at normal incidence (n = 1.573)', () => {
    expect(sheetReflectance(1, 1.573)).toBeCloseTo(0.095, 2.5);
    const bench = new FacetBench({ kind: 'clear', roughness: 0.05, coatEta: 1.573, metalReflectance: 0 });
    expect(bench.furnace(direction(0, 0), CLEAR)[0]).toBeCloseTo(0.095, 2.5);
  });

  it('albedo for even rooms follows the lobes, coloured lacquer too', () => {
    const gold: Direction = [0.9, 0.65, 0.2];
    for (const roughness of [0.08, 0.2]) {
      const bench = new FacetBench({ kind: 'metal', roughness, coatEta: 1.5, metalReflectance: ALUMINIUM_IN_LACQUER });
      for (const polar of [0, 45, 70, 80]) {
        const returned = bench.furnace(direction(polar, 0), gold);
        const albedo: Direction = [0, 0, 0];
        facetAlbedo(albedo, bench.setting, gold, bench.o);
        // The mean angle stands for the whole lobe, and angles steepen the coat: 0.025 at 80°.
        for (let c = 0; c < 3; c++) expect(Math.abs(albedo[c] - returned[c]), `${polar}° ${c}`).toBeLessThan(0.025);
      }
    }
  });
});

/** n and k of evaporated aluminium, A. D. Rakić 1995, Appl. Opt. 34, 4755, interpolated at 450, 550 and 650 nm. */
const aluminium = [
  { n: 0.633, k: 5.45, reflectance: 0.922 },
  { n: 1.015, k: 6.63, reflectance: 0.915 },
  { n: 1.558, k: 7.71, reflectance: 0.906 },
];

describe('aluminium', () => {
  it('has the reflectance of its n and k, least near 80° (.860 at 550 nm)', () => {
    for (const { n, k, reflectance } of aluminium) expect(conductorFresnel(1, n, k)).toBeCloseTo(reflectance, 2.5);
    const { n, k } = aluminium[1];
    const at = (deg: number): number => conductorFresnel(Math.cos(deg * DEGREE), n, k);
    const degrees = Array.from({ length: 90 }, (_, deg) => deg);
    const least = degrees.reduce((best, deg) => (at(deg) < at(best) ? deg : best), 0);
    expect(Math.abs(least - 80)).toBeLessThanOrEqual(3);
    expect(at(least)).toBeCloseTo(0.86, 2);
  });

  it('under lacquer differs from the number used by at most 0.02, at any angle that lacquer lets in', () => {
    for (const { n, k } of aluminium) {
      for (const deg of [0, 20, 42]) {
        const exact = conductorFresnel(Math.cos(deg * DEGREE), n / 1.5, k / 1.5);
        expect(Math.abs(exact - ALUMINIUM_IN_LACQUER), `${n} ${deg}°`).toBeLessThan(0.02);
      }
    }
  });

  it('film is some 20 times a fibre’s first surface, and nearly neutral', () => {
    const film = metalReflectance(
      { kind: 'metal', block: 0, roughness: 0.1, coatEta: 1.5, metalReflectance: ALUMINIUM_IN_LACQUER },
      1,
      1,
    );
    expect(film / dielectricFresnel(1, 1.547)).toBeGreaterThan(17);
    expect(film).toBeLessThan(0.93);
  });
});

describe('facets that cannot be seen by half', () => {
  it('weak furnace: visible facets reflect all of a direction’s light, Σ G1 D/(4 cos θo) = 1 ± 1e-3', () => {
    for (const alpha of [0.1, 0.3, 0.6]) {
      for (const polar of [0, 40, 70]) {
        const o = direction(polar, 0);
        let sum = 0;
        eachHalf(alpha, (h, solid) => {
          const cosD = h[0] * o[0] + h[2] * o[2];
          if (cosD > 0) sum += (facetDensity(h[2], alpha) * cosD * solid) / (o[2] * (1 + facetLambda(o[2], alpha)));
        });
        expect(Math.abs(sum - 1), `α ${alpha}, ${polar}°`).toBeLessThan(1e-3);
      }
    }
  });

  it('density and visibility are finite at the horizon', () => {
    expect(facetVisibility(1e-6, 1e-6, 0.3)).toBeGreaterThan(0);
    expect(facetDensity(0, 1)).toBeCloseTo(1 / Math.PI, 12);
  });
});
