import { describe, expect, it } from 'vitest';
import { facetPdf, sampleVisibleFacet } from '#engine/scatter/facets.ts';
import type { FibreAngles, FibreLobes } from '#engine/scatter/fibreLobes.ts';
import { fibrePdf, type LobeChances, lobeChances, sampleFibre } from '#engine/scatter/sampleFibre.ts';
import { hashUniform } from '#engine/units/hash.ts';
import { DEGREE, type Direction, direction, FacetBench, FibreBench } from './lightBench.ts';

const SEED = 7741;
const SAMPLES = 65_536;
/** Bound of the field for importance against uniform sampling is 5 % at this number; ours is quadrature against it. */
const ESTIMATE = 0.015;
const INTEGRAL = 2e-3;

function anglesOf([x, y, z]: Direction): FibreAngles {
  const cosTheta = Math.sqrt(1 - x * x);
  // About the fibre x, from the normal z: the side is normal × tangent = y.
  return { sinTheta: x, cosTheta, cosPhi: z / cosTheta, sinPhi: y / cosTheta };
}

const lobesOf = (widthDeg: number, isotropy: number): FibreLobes => ({
  eta: 1.55,
  surfaceWidthRad: widthDeg * DEGREE,
  volumeWidthRad: 2 * widthDeg * DEGREE,
  isotropy,
  exposure: 2,
});

describe.each([
  ['filament', lobesOf(3, 0.1)],
  ['linen', lobesOf(12, 0.3)],
  ['matte', lobesOf(25, 0.6)],
] as const)('sampling %s', (_name, lobes) => {
  const bench = new FibreBench(lobes);
  const chances: LobeChances = { surface: 0, volume: 0, even: 0 };

  it.each([0, 45, 80])('density integrates to 1, eye at %d° along the fibre', (polar) => {
    const o = anglesOf(direction(polar, 15));
    lobeChances(chances, lobes, 0.2, 0.8);
    expect(chances.surface + chances.volume + chances.even).toBeCloseTo(1, 12);
    let sum = 0;
    const n = 2000;
    const m = 200;
    for (let a = 0; a < n; a++) {
      const theta = Math.PI * ((a + 0.5) / n - 0.5);
      for (let b = 0; b < m; b++) {
        const phi = Math.PI * ((b + 0.5) / m - 0.5);
        const i = {
          sinTheta: Math.sin(theta),
          cosTheta: Math.cos(theta),
          cosPhi: Math.cos(phi),
          sinPhi: Math.sin(phi),
        };
        sum += (fibrePdf(lobes, chances, i, o) * i.cosTheta * Math.PI * Math.PI) / (n * m);
      }
    }
    expect(Math.abs(sum - 1)).toBeLessThan(INTEGRAL);
  });

  it.each([0, 40, 70])(`estimate agrees with quadrature, eye at %d°, seed ${SEED}`, (polar) => {
    const toEye = direction(polar, 10);
    const o = anglesOf(toEye);
    lobeChances(chances, lobes, bench.surfaceAlbedo(toEye), 0.8);
    const i: FibreAngles = { sinTheta: 0, cosTheta: 1, cosPhi: 1, sinPhi: 0 };
    let surface = 0;
    let volume = 0;
    let most = 0;
    for (let k = 0; k < SAMPLES; k++) {
      const u = [0, 1, 2, 3].map((d) => hashUniform(SEED + d, k));
      sampleFibre(i, lobes, chances, o, u);
      const pdf = fibrePdf(lobes, chances, i, o);
      const cosine = i.cosTheta * i.cosPhi;
      if (cosine <= 1e-6) continue;
      expect(pdf).toBeGreaterThan(0);
      const f = bench.brdf([i.sinTheta, i.cosTheta * i.sinPhi, cosine], toEye);
      surface += (f.surface * cosine) / pdf;
      volume += (f.volume * cosine) / pdf;
      most = Math.max(most, ((f.surface + 0.8 * f.volume) * cosine) / pdf);
    }
    const exact = bench.furnace(toEye);
    expect(Math.abs(volume / SAMPLES / exact.volume - 1)).toBeLessThan(ESTIMATE);
    // The surface lobe gets a tenth to a quarter of the samples.
    expect(Math.abs(surface / SAMPLES / exact.surface - 1)).toBeLessThan(2 * ESTIMATE);
    // No fireflies.
    expect(most).toBeLessThan(12);
  });
});

describe('sampling film', () => {
  it.each([0.08, 0.3])(`estimate agrees with quadrature, α = %d, seed ${SEED}`, (roughness) => {
    const bench = new FacetBench({ kind: 'metal', roughness, coatEta: 1.5, metalReflectance: 0.88 });
    const tint: Direction = [1, 0.7, 0.3];
    for (const polar of [0, 50, 75]) {
      const toEye = direction(polar, 0);
      const h: Direction = [0, 0, 1];
      const sum = [0, 0, 0];
      for (let k = 0; k < SAMPLES / 4; k++) {
        sampleVisibleFacet(h, toEye, roughness, hashUniform(SEED, k), hashUniform(SEED + 1, k));
        const cosD = h[0] * toEye[0] + h[1] * toEye[1] + h[2] * toEye[2];
        const i: Direction = [2 * cosD * h[0] - toEye[0], 2 * cosD * h[1] - toEye[1], 2 * cosD * h[2] - toEye[2]];
        if (i[2] <= 1e-6) continue;
        const f = bench.brdf(i, toEye, tint);
        const pdf = facetPdf(h[2], toEye[2], roughness);
        for (let c = 0; c < 3; c++) sum[c] += (f[c] * i[2]) / pdf;
      }
      const exact = bench.furnace(toEye, tint);
      for (let c = 0; c < 3; c++)
        expect(Math.abs(sum[c] / (SAMPLES / 4) / exact[c] - 1), `${polar}°`).toBeLessThan(ESTIMATE);
    }
  });
});
