import { describe, expect, it } from 'vitest';
import { spanStiffness } from '#engine/cloth/heights/tieBeam.ts';
import { denseHeights } from './denseOracle.ts';
import { type ClothSpec, evenCloth, layersOfPlain, satin5, solve, twill22, warpRib22 } from './problems.ts';

/** Confinement stiff enough for Gauss–Seidel to find the slow modes within its sweeps. */
const SHARE = 0.1;
const D = 0.4;

const CLOTHS: Record<string, ClothSpec> = {
  'satin of 5': { rows: 5, ends: 5, weave: satin5, B2: 2 },
  '2/2 twill, uneven pitches': { rows: 4, ends: 4, weave: twill22, p1: 0.8, p2: 1.1 },
  'warp rib': { rows: 4, ends: 2, weave: warpRib22 },
  'double plain': { rows: 4, ends: 4, weave: layersOfPlain(2), p1: 0.5, p2: 0.5 },
};

describe('heights and forces against dense finite elements with projected Gauss–Seidel, no code shared', () => {
  for (const name of Object.keys(CLOTHS))
    for (const tightness of [0, 30, 200])
      it(`${name}, T·p²/B ${tightness}`, () => {
        const problem = evenCloth({ ...CLOTHS[name], warpTightness: tightness, weftTightness: Math.min(2, tightness) });
        // One thread off its place, so that spans differ.
        problem.rowYMm[1] += 0.15 * problem.rowYMm[1];
        const dense = denseHeights(problem, SHARE, 6000);
        const s = solve(problem, {
          confinementShare: SHARE,
          heldFlat: false,
          tiltedContacts: false,
          tolerance: 1e-6,
          errorTolerance: 1e-6,
          maxIterations: 20_000,
        });
        let mean = 0;
        for (let k = 0; k < dense.force.length; k++) mean += (dense.warpHeight[k] + dense.weftHeight[k]) / 2;
        mean /= dense.force.length;
        const largest = Math.max(...dense.force);
        for (let k = 0; k < dense.force.length; k++) {
          expect(Math.abs(s.warpHeightMm[k] - dense.warpHeight[k] + mean)).toBeLessThan(1e-3 * D);
          expect(Math.abs(s.weftHeightMm[k] - dense.weftHeight[k] + mean)).toBeLessThan(1e-3 * D);
          expect(Math.abs(s.contactForceN[k] - dense.force[k])).toBeLessThan(2e-3 * largest);
        }
      });
});

describe('span stiffness', () => {
  const at = (p: number, B: number, T: number) => {
    const out = { shear: 0, cross: 0, near: 0, far: 0 };
    spanStiffness(p, B, T, out);
    return out;
  };

  it('is the cubic beam without tension, and the string with next to no stiffness', () => {
    const beam = at(2, 3, 0);
    expect(beam.shear).toBeCloseTo((12 * 3) / 8, 12);
    expect(beam.cross).toBeCloseTo((6 * 3) / 4, 12);
    expect(beam.near).toBeCloseTo((4 * 3) / 2, 12);
    expect(beam.far).toBeCloseTo((2 * 3) / 2, 12);
    const string = at(2, 1e-6, 5);
    expect(string.shear / (5 / 2)).toBeCloseTo(1, 2);
  });

  it('series and closed form agree where one takes over from the other', () => {
    const below = at(1, 1, 0.149999 ** 2);
    const above = at(1, 1, 0.150001 ** 2);
    for (const key of ['shear', 'cross', 'near', 'far'] as const) expect(below[key] / above[key]).toBeCloseTo(1, 6);
    // Both ends of a span lifted or turned alike leave no net force or moment.
    for (const T of [0.01, 1, 100, 1e4]) {
      const s = at(1.3, 0.7, T);
      expect(s.near + s.far).toBeGreaterThan(0);
      // Moment balance of the span: cross·2 = shear·p − T.
      expect((2 * s.cross) / (s.shear * 1.3 - T)).toBeCloseTo(1, 9);
      // A rigid turn by θ stores tension energy only: near + far = cross·p.
      expect((s.near + s.far) / (s.cross * 1.3)).toBeCloseTo(1, 9);
    }
  });
});
