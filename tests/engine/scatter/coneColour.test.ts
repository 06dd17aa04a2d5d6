import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  coneColour,
  coneColourOfReflectance,
  fibreReflectance,
  reflectanceOfConeColour,
} from '#engine/scatter/coneColour.ts';
import { touchingTurns } from './touchingTurns.ts';

const SEED = 52;
const turns = touchingTurns();

describe('touching round Lambert yarns from above', () => {
  it('see 2/π of the sky on their upper arc, 0.802 of it over the width seen', () => {
    // 2/π exactly: the string from crest to crest over the arc between (H. C. Hottel 1954, crossed strings).
    expect(Math.abs(turns.arcMeanSky - 2 / Math.PI)).toBeLessThan(1e-3);
    expect(Math.abs(turns.skyShare - 0.802)).toBeLessThan(0.01);
  });

  it.each([
    [0.2, 0.165],
    [0.5, 0.431],
    [0.8, 0.737],
    [0.9, 0.856],
    [1, 1],
  ])('of reflectance %d look like a card of %d', (reflectance, cone) => {
    expect(Math.abs(turns.radiance(reflectance) - cone)).toBeLessThan(0.002);
    expect(Math.abs(coneColourOfReflectance(reflectance) - cone)).toBeLessThan(0.001);
  });

  // The radiosity takes 96 points an arc: 8e-4 short at reflectance 1, where light bounces longest.
  it('follow the map between its nodes', () => {
    for (let reflectance = 0.025; reflectance < 1; reflectance += 0.05) {
      expect(Math.abs(turns.radiance(reflectance) - coneColourOfReflectance(reflectance))).toBeLessThan(2e-3);
    }
  });
});

describe(`cone colour and fibre reflectance, seed ${SEED}`, () => {
  const unit = fc.double({ min: 0, max: 1, noNaN: true });

  it('are each other’s inverse, and rise together', () => {
    fc.assert(
      fc.property(unit, unit, (a, b) => {
        expect(Math.abs(reflectanceOfConeColour(coneColourOfReflectance(a)) - a)).toBeLessThan(1e-9);
        if (a > b) expect(coneColourOfReflectance(a)).toBeGreaterThanOrEqual(coneColourOfReflectance(b));
      }),
      { seed: SEED, numRuns: 2000 },
    );
  });

  it('take the surface lobe’s share off, and give it back', () => {
    fc.assert(
      fc.property(unit, fc.double({ min: 0, max: 0.2, noNaN: true }), (cone, surface) => {
        const reflectance = fibreReflectance(cone, surface);
        expect(reflectance).toBeGreaterThanOrEqual(0);
        expect(reflectance).toBeLessThanOrEqual(1);
        const shown = coneColour(reflectance, surface);
        // Nothing is darker than its own gloss.
        expect(Math.abs(shown - Math.max(cone, coneColourOfReflectance(surface)))).toBeLessThan(1e-9);
      }),
      { seed: SEED, numRuns: 2000 },
    );
  });
});
