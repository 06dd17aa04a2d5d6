import { describe, expect, it } from 'vitest';
import { crossedHeights } from '#tests/engine/cloth/heights/crossedHeights.ts';
import {
  drawnCurves,
  evenCloth,
  overNUnderOne,
  plain,
  solve,
  THEORY,
  twill22,
} from '#tests/engine/cloth/heights/problems.ts';
import { caseById, expectWithin } from './cases.ts';

/** Stiffness of threads that stand for rigid supports, over that of the beam under test. */
const RIGID = 1e7;

describe('beams through alternating supports, as the cloth solver finds them', () => {
  it('YM-04 plain weave: slope, curvature, energy, contact force, crimp', () => {
    const { expected: want, tolerance } = caseById<unknown, Record<string, number>>('appearance', 'YM-04');
    const problem = evenCloth({ rows: 2, ends: 2, weave: plain, warpDiameter: 1, weftDiameter: 1 });
    const warp = crossedHeights(problem, solve(problem, THEORY), 0);
    expectWithin(warp.largestSlope, want.max_slope, tolerance, 'largest slope');
    expect(Math.abs(warp.slopes[0])).toBeLessThan(1e-6);
    expectWithin(Math.abs(warp.moments[0]), want.curvature_at_supports, tolerance, 'curvature at supports');
    expectWithin(warp.bendingEnergy / 2, want.bending_energy_per_crossing, tolerance, 'energy a crossing');
    expectWithin(warp.forces[0], want.contact_force_per_crossing, tolerance, 'contact force');
    expectWithin(warp.crimp, want['crimp_over_(h/p)^2'], tolerance, 'crimp');
  });

  it('YM-05 crimp of the beam at three heights', () => {
    const { inputs, expected, tolerance } = caseById<{ h_over_p: number[] }, { crimp_spline: number[] }>(
      'appearance',
      'YM-05',
    );
    inputs.h_over_p.forEach((h, k) => {
      const problem = evenCloth({ rows: 2, ends: 2, weave: plain, warpDiameter: h, weftDiameter: h });
      const warp = crossedHeights(problem, solve(problem, THEORY), 0);
      expectWithin(warp.crimp, expected.crimp_spline[k], tolerance, `crimp at h/p ${h}`);
    });
  });

  it('YM-06 2/2 twill: moment, energy, slope, contact force, crimp', () => {
    const { expected: want, tolerance } = caseById<unknown, Record<string, number>>('appearance', 'YM-06');
    const problem = evenCloth({ rows: 4, ends: 4, weave: twill22, warpDiameter: 1, weftDiameter: 1 });
    const warp = crossedHeights(problem, solve(problem, THEORY), 0);
    expectWithin(Math.abs(warp.moments[0]), want.moment_at_supports, tolerance, 'moment at supports');
    expectWithin(warp.bendingEnergy, want.bending_energy_per_repeat_of_4, tolerance, 'energy a repeat');
    expectWithin(warp.bendingEnergy / 2, want.bending_energy_per_interlacing, tolerance, 'energy an interlacing');
    expectWithin(warp.largestSlope, want.max_slope, tolerance, 'largest slope');
    expectWithin(warp.forces[0], want.contact_force, tolerance, 'contact force');
    expectWithin(warp.crimp, want['crimp_over_(h/p)^2'], tolerance, 'crimp');
  });

  it('YM-07 over n, under one, on rigid wefts: moments, energy, bow; inner contacts lift off', () => {
    const { inputs, expected, tolerance } = caseById<{ n: number[] }, Record<string, number[]>>('appearance', 'YM-07');
    inputs.n.forEach((n, k) => {
      const size = n + 1;
      const spec = { rows: size, ends: size, weave: overNUnderOne(n), B2: RIGID, warpDiameter: 0.5, weftDiameter: 0.5 };
      const problem = evenCloth(spec);
      const warp = crossedHeights(problem, solve(problem, THEORY), 0);
      // End 0 lies under row 0; its float runs from row 1 to row n.
      expectWithin(Math.abs(warp.moments[1]), expected.moment_at_float_ends[k], tolerance, `moment, n = ${n}`);
      expectWithin(warp.bendingEnergy, expected.bending_energy_per_repeat[k], tolerance, `energy, n = ${n}`);
      const bow = warp.highest - warp.heights[1];
      expect(Math.abs(bow - expected.float_bow_height[k])).toBeLessThan(1e-3);
      for (let row = 2; row < n; row++) expect(warp.forces[row]).toBe(0);
    });
  });

  for (const id of ['YM-14', 'YM-15', 'YM-16'])
    it(`${id} balance of crimp in a plain weave`, () => {
      const { inputs, expected, tolerance } = caseById<Record<string, number>, Record<string, number>>(
        'appearance',
        id,
      );
      const { B1, B2, p1, p2, D } = inputs;
      const problem = evenCloth({
        rows: 2,
        ends: 2,
        weave: plain,
        B1,
        B2,
        p1,
        p2,
        warpDiameter: D / 2,
        weftDiameter: D / 2,
      });
      const s = solve(problem, THEORY);
      const h1 = 2 * Math.abs(s.warpHeightMm[0]);
      const h2 = 2 * Math.abs(s.weftHeightMm[0]);
      expectWithin(h1, expected.h1, tolerance, 'h1');
      expectWithin(h2, expected.h2, tolerance, 'h2');
      expectWithin(s.contactForceN[0], expected.contact_force, tolerance, 'contact force');
      const warp = crossedHeights(problem, s, 0);
      expectWithin(warp.crimp, expected.c1, tolerance, 'c1');
      expectWithin(
        warp.bendingEnergy / 2 + (6 * B2 * h2 ** 2) / p1 ** 3,
        expected.energy_per_crossing,
        tolerance,
        'energy a crossing',
      );
      expectWithin(warp.crimp / (0.6 * (h2 / p1) ** 2), expected.c1_over_c2, tolerance, 'c1 over c2');
    });

  it('YM-19 tension stiffens a tie-beam', () => {
    const { inputs, expected, tolerance } = caseById<{ kL: number[] }, { stiffening: number[] }>('appearance', 'YM-19');
    inputs.kL.forEach((kL, k) => {
      const tightness = (2 * kL) ** 2;
      const spec = { rows: 2, ends: 2, weave: plain, warpTightness: tightness, weftTightness: tightness };
      const problem = evenCloth(spec);
      const s = solve(problem, THEORY);
      const h = 2 * Math.abs(s.warpHeightMm[0]);
      expectWithin(s.contactForceN[0] / (24 * h), expected.stiffening[k], tolerance, `stiffening at kL ${kL}`);
    });
  });

  it('draws what it solved: the curve passes its nodes', () => {
    const problem = evenCloth({ rows: 4, ends: 4, weave: twill22 });
    const s = solve(problem);
    const { along, height } = drawnCurves(problem, s).warpAt(1, 2, 8);
    along.forEach((y, q) => {
      if (y === 0) expect(height[q]).toBeCloseTo(s.warpHeightMm[1 * 4 + 2], 12);
    });
  });
});
