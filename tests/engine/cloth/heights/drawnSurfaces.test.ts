import { describe, expect, it } from 'vitest';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { drawnCurves, evenCloth, plain, satin5, satin8, shadedSatin, solve, twill22, type Weave } from './problems.ts';

const SAMPLES_PER_HALF_WAVE = 32;

/**
 * Deepest penetration of warp and weft as drawn, over D: round tubes overlap by as much as their centre lines come
 * nearer than D, measured in three dimensions between all samples either side of each crossing.
 */
function deepestPenetration(problem: HeightsProblem, s: HeightsSolution): number {
  const { rows, ends } = problem;
  const curves = drawnCurves(problem, s);
  let worst = 0;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < ends; i++) {
      const D = problem.endHalfHeightMm[i] + problem.rowHalfHeightMm[j];
      const warp = curves.warpAt(j, i, SAMPLES_PER_HALF_WAVE);
      const weft = curves.weftAt(j, i, SAMPLES_PER_HALF_WAVE);
      let nearest = Infinity;
      for (let a = 0; a < warp.along.length; a++) {
        for (let b = 0; b < weft.along.length; b++) {
          const dz = warp.height[a] - weft.height[b];
          const squared = warp.along[a] ** 2 + weft.along[b] ** 2 + dz * dz;
          if (squared < nearest) nearest = squared;
        }
      }
      worst = Math.max(worst, 1 - Math.sqrt(nearest) / D);
    }
  }
  return worst;
}

const WEAVES: Record<string, { weave: Weave; size: number }> = {
  plain: { weave: plain, size: 2 },
  '2/2 twill': { weave: twill22, size: 4 },
  'satin of 5': { weave: satin5, size: 5 },
  'satin of 8': { weave: satin8, size: 8 },
};
const TIGHTNESS = [0, 1, 30, 200];

const cloth = (name: string, tightness: number, diameter: number) =>
  evenCloth({
    rows: WEAVES[name].size,
    ends: WEAVES[name].size,
    weave: WEAVES[name].weave,
    warpTightness: tightness,
    weftTightness: Math.min(tightness, 2),
    warpDiameter: diameter,
    weftDiameter: diameter,
  });

describe('warp and weft as drawn do not interpenetrate', () => {
  for (const name of Object.keys(WEAVES))
    for (const tightness of TIGHTNESS)
      it(`${name}, T·p²/B ${tightness}: at most 1 % of D up to d/p 0.45`, () => {
        for (const diameter of [0.15, 0.25, 0.3, 0.35, 0.4, 0.425, 0.45]) {
          const problem = cloth(name, tightness, diameter);
          expect(deepestPenetration(problem, solve(problem)), `d/p ${diameter}`).toBeLessThanOrEqual(0.01);
        }
      });

  for (const tightness of TIGHTNESS)
    it(`plain, T·p²/B ${tightness}: at most 3 % of D up to the jam`, () => {
      // F. T. Peirce 1937, J. Text. Inst. 28, T45: arcs of D = d1 + d2 that meet, h = D(1 − cos θ), p = D sin θ.
      const open = solve(cloth('plain', tightness, 0.45));
      const larger = Math.max(Math.abs(open.warpHeightMm[0]), Math.abs(open.weftHeightMm[0])) / 0.45;
      const jam = 1 / (2 * Math.sqrt(1 - (1 - larger) ** 2));
      for (const share of [0.96, 0.98, 0.995]) {
        const problem = cloth('plain', tightness, share * jam);
        expect(deepestPenetration(problem, solve(problem)), `${share} of the jam`).toBeLessThanOrEqual(0.03);
      }
    });

  it('a shaded picture at d/p 0.45', () => {
    const problem = evenCloth({
      rows: 24,
      ends: 24,
      weave: shadedSatin(24),
      boundary: 'mirrored',
      warpTightness: 30,
      weftTightness: 2,
      warpDiameter: 0.45,
      weftDiameter: 0.45,
    });
    expect(deepestPenetration(problem, solve(problem))).toBeLessThanOrEqual(0.01);
  });

  it('thin ends round a cord, uneven rows', () => {
    const problem = evenCloth({
      rows: 4,
      ends: 4,
      weave: plain,
      warpTightness: 30,
      warpDiameter: 0.3,
      weftDiameter: 0.3,
    });
    problem.rowYMm.set([0, 1.5, 2.9, 4.5]);
    const wide = { ...problem, periodYMm: 6 };
    wide.rowHalfHeightMm.set([0.8, 0.15, 0.8, 0.15]);
    wide.rowHalfWidthMm.set([0.8, 0.15, 0.8, 0.15]);
    wide.rowBendingNmm2.set([500, 1, 500, 1]);
    expect(deepestPenetration(wide, solve(wide))).toBeLessThanOrEqual(0.01);
  });
});

describe('the wrap', () => {
  it('leaves a thread alone that clears by itself', () => {
    const s = solve(cloth('plain', 0, 0.3));
    for (const wrap of [s.warpWrapStartMm, s.warpWrapEndMm, s.weftWrapStartMm, s.weftWrapEndMm])
      for (const value of wrap) expect(Math.abs(value)).toBeLessThan(1e-3);
  });

  it('is what keeps a stiff straight weft from being cut', () => {
    // Without it the warp would cut the weft by 11 to 18 % of D at d/p 0.5.
    const problem = cloth('plain', 200, 0.5);
    expect(deepestPenetration(problem, solve(problem, { withoutWrap: true }))).toBeGreaterThan(0.1);
    expect(deepestPenetration(problem, solve(problem))).toBeLessThan(0.03);
  });

  it('stays within bounds far beyond the jam, where no height z(y) can clear', () => {
    for (const diameter of [0.7, 1, 1.5]) {
      const s = solve(cloth('plain', 30, diameter));
      for (const wrap of [s.warpWrapStartMm, s.weftWrapStartMm])
        for (const value of wrap) expect(Math.abs(value)).toBeLessThanOrEqual(24);
    }
  });
});
