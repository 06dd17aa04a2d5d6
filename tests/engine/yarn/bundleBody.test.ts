import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bundleBody } from '#engine/yarn/bundleBody.ts';
import { enclosingRadius, enclosingRadiusRatio, packedAreaShare } from '#engine/yarn/circlePacking.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import type { YarnFacts } from '#engine/yarn/yarnTypes.ts';

const cotton: YarnFacts = {
  id: 'cotton-8-2',
  name: 'cotton 8/2',
  fibre: 'cotton',
  tex: 147.6,
  plies: 2,
  fibreDensityGPerCm3: 1.52,
  packingFraction: 0.58,
  shape: 'round',
  bendingNmm2: [0.0066, 0.039],
  twistTurnsPerM: [220, 300],
  twistDirection: 'S',
  compressibility: 'medium',
};
const film: YarnFacts = {
  id: 'film',
  name: 'film',
  fibre: 'polyester film',
  tex: 208.5,
  plies: 1,
  fibreDensityGPerCm3: 1.39,
  packingFraction: 1,
  shape: 'strip',
  stripWidthMm: 3,
  gaugeMm: 0.05,
  bendingNmm2: [0.11, 0.16],
  compressibility: 'none',
};

/** Arithmetic only: rounding. */
const EXACT = 12;

describe('strands together', () => {
  it('two alike lie side by side: twice as wide, as high as one', () => {
    const one = yarnBody(cotton);
    const two = bundleBody([one, one], ['a', 'b']);
    expect(two.contactWidthMm).toBeCloseTo(2 * one.contactWidthMm, EXACT);
    expect(two.contactHeightMm).toBeCloseTo(one.contactHeightMm, EXACT);
    expect(two.bodyWidthMm).toBeCloseTo(2 * one.bodyWidthMm, EXACT);
    expect(two.strands).toEqual(['a', 'b']);
    expect(two.tex).toBeCloseTo(2 * one.tex, EXACT);
  });

  it('areas, tex and bending add for any number and mix of round yarns (seed 7)', () => {
    const texes = fc.array(fc.double({ min: 10, max: 1000, noNaN: true }), { minLength: 2, maxLength: 12 });
    fc.assert(
      fc.property(texes, (list) => {
        const bodies = list.map((tex, i) => yarnBody({ ...cotton, id: `y${i}`, tex }));
        const bundle = bundleBody(
          bodies,
          bodies.map((body) => body.id),
        );
        const area = bodies.reduce((total, body) => total + body.contactWidthMm * body.contactHeightMm, 0);
        const widest = Math.max(...bodies.map((body) => body.contactWidthMm));
        expect(bundle.contactWidthMm * bundle.contactHeightMm).toBeGreaterThanOrEqual(area * (1 - 1e-9));
        expect(bundle.contactWidthMm).toBeGreaterThanOrEqual(widest);
        expect(bundle.bodyWidthMm).toBeGreaterThanOrEqual(bundle.contactWidthMm);
        expect(bundle.freeWidthMm).toBeGreaterThanOrEqual(bundle.bodyWidthMm);
        expect(bundle.bendingNmm2).toBeCloseTo(list.length * bodies[0].bendingNmm2, EXACT);
      }),
      { seed: 7, numRuns: 200 },
    );
  });

  it('a film with a yarn is a strip as wide as the film, and higher by the yarn spread over it', () => {
    const [yarn, strip] = [yarnBody(cotton), yarnBody(film)];
    const both = bundleBody([yarn, strip], ['yarn', 'film']);
    expect(both.shape).toBe('strip');
    expect(both.contactWidthMm).toBe(3);
    expect(both.contactHeightMm).toBeGreaterThanOrEqual(yarn.contactHeightMm);
  });

  it('refuses an empty bundle and ids that do not match', () => {
    expect(() => bundleBody([], [])).toThrow(/no strands/);
    expect(() => bundleBody([yarnBody(cotton)], ['a', 'b'])).toThrow(/1 strands but 2 ids/);
  });
});

describe('circles in a circle', () => {
  it('a small third hides beside two large ones, a large one does not (Descartes)', () => {
    expect(enclosingRadius([1, 1, 0.6])).toBeCloseTo(2, EXACT);
    // Where it just touches the circle round the other two: 2/3 of their radius.
    expect(enclosingRadius([1, 1, 2 / 3])).toBeCloseTo(2, EXACT);
    expect(enclosingRadius([1, 1, 1])).toBeCloseTo(enclosingRadiusRatio(3), EXACT);
    expect(enclosingRadius([1, 1, 0.8])).toBeGreaterThan(2);
  });

  it('grows with every strand, and never fills more than the plane can', () => {
    for (let n = 2; n <= 40; n++) {
      expect(enclosingRadiusRatio(n)).toBeGreaterThanOrEqual(enclosingRadiusRatio(n - 1));
      expect(packedAreaShare(n)).toBeLessThan(Math.PI / Math.sqrt(12));
    }
    expect(() => enclosingRadiusRatio(0)).toThrow(/whole number/);
  });
});
