import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { RawLobes } from '#engine/scatter/fibreLobes.ts';
import { DEGREE, type Direction, direction, FacetBench, FibreBench } from './lightBench.ts';

const SEED = 20_261;
const PAIRS = 10_000;
/** The two orders differ by rounding alone; the work asks for 1e-4. */
const RELATIVE = 1e-9;

/** Anywhere in the outer hemisphere, up to 89°. */
const anyDirection = fc
  .tuple(fc.double({ min: 0, max: 89, noNaN: true }), fc.double({ min: 0, max: 360, noNaN: true }))
  .map(([polar, azimuth]) => direction(polar, azimuth));
const anyTilt = fc.double({ min: 0, max: 45 * DEGREE, noNaN: true });

function expectSame(a: number, b: number): void {
  expect(a).toBeGreaterThanOrEqual(0);
  expect(Math.abs(a - b)).toBeLessThanOrEqual(RELATIVE * Math.max(a, b) + 1e-300);
}

describe(`reciprocity, seed ${SEED}`, () => {
  it.each([2.5, 12, 30])('fibres, lobe of %d°', (widthDeg) => {
    const width = widthDeg * DEGREE;
    const bench = new FibreBench({
      eta: 1.55,
      surfaceWidthRad: width,
      volumeWidthRad: 2 * width,
      isotropy: 0.3,
      exposure: 2,
    });
    fc.assert(
      fc.property(anyDirection, anyDirection, anyTilt, (i, o, tilt) => {
        const there: RawLobes = { ...bench.brdf(i, o, tilt) };
        const back = bench.brdf(o, i, tilt);
        expectSame(there.surface, back.surface);
        expectSame(there.volume, back.volume);
      }),
      { seed: SEED, numRuns: PAIRS },
    );
  });

  it.each([
    { name: 'metal', kind: 'metal', gratingPitchUm: 0 },
    { name: 'clear', kind: 'clear', gratingPitchUm: 0 },
    { name: 'holographic film, ruled at 1 µm', kind: 'metal', gratingPitchUm: 1 },
  ] as const)('$name', ({ kind, gratingPitchUm }) => {
    const bench = new FacetBench({ kind, roughness: 0.15, coatEta: 1.5, metalReflectance: 0.88, gratingPitchUm });
    const tint: Direction = [0.9, 0.6, 0.2];
    fc.assert(
      fc.property(anyDirection, anyDirection, anyTilt, (i, o, tilt) => {
        const there = [...bench.brdf(i, o, tint, tilt)];
        const back = bench.brdf(o, i, tint, tilt);
        for (let c = 0; c < 3; c++) expectSame(there[c], back[c]);
      }),
      { seed: SEED, numRuns: PAIRS },
    );
  });
});
