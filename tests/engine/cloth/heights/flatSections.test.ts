import { describe, expect, it } from 'vitest';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { grownEllipseProfile, PROFILE_STEPS } from '#engine/cloth/heights/sectionSum.ts';
import { type DrawnPoints, drawnCurves, evenCloth, plain, satin5, solve, twill22 } from './problems.ts';

/** Height and slope of a sampled curve at x, straight between its samples; null beyond them. */
function between(points: DrawnPoints, x: number): [number, number] | null {
  const { along, height } = points;
  for (let k = 0; k + 1 < along.length; k++) {
    const length = along[k + 1] - along[k];
    if (length <= 0 || x < along[k] || x > along[k + 1]) continue;
    const slope = (height[k + 1] - height[k]) / length;
    return [height[k] + slope * (x - along[k]), slope];
  }
  return null;
}

/**
 * Deepest point of a warp's surface inside a weft, over the sum of their half heights. Sections are ellipses square to
 * the centre lines; points of the warp's surface are taken to the weft's plane through its nearest centre point.
 */
function deepestPoint(problem: HeightsProblem, s: HeightsSolution): number {
  const curves = drawnCurves(problem, s);
  let worst = 0;
  for (let j = 0; j < problem.rows; j++) {
    for (let i = 0; i < problem.ends; i++) {
      const [aw, bw] = [problem.endHalfWidthMm[i], problem.endHalfHeightMm[i]];
      const [af, bf] = [problem.rowHalfWidthMm[j], problem.rowHalfHeightMm[j]];
      const warp = curves.warpAt(j, i, 32);
      const weft = curves.weftAt(j, i, 64);
      for (let k = 0; k < warp.along.length; k++) {
        const own = between(warp, warp.along[k]);
        if (!own || Math.abs(warp.along[k]) > af + bw) continue;
        const norm = Math.hypot(1, own[1]);
        for (let q = 0; q < 48; q++) {
          const x = aw * Math.cos((2 * Math.PI * q) / 48);
          const out = bw * Math.sin((2 * Math.PI * q) / 48);
          const y = warp.along[k] - (own[1] / norm) * out;
          const z = warp.height[k] + out / norm;
          worst = Math.max(worst, depthInWeft(weft, x, y, z, af, bf) / (bw + bf));
        }
      }
    }
  }
  return worst;
}

function depthInWeft(weft: DrawnPoints, x: number, y: number, z: number, af: number, bf: number): number {
  let at = x;
  for (let step = 0; step < 6; step++) {
    const centre = between(weft, at);
    if (!centre) return 0;
    at -= (at - x + (centre[0] - z) * centre[1]) / (1 + centre[1] ** 2);
  }
  const centre = between(weft, at);
  if (!centre) return 0;
  const across = Math.hypot(x - at, z - centre[0]);
  const inside = Math.hypot(y / af, across / bf);
  if (inside >= 1) return 0;
  return inside > 0 ? Math.min(bf, ((1 - inside) * Math.hypot(y, across)) / inside) : bf;
}

/** Half width and half height of warp and weft; pitches leave reach/p 0.35, near the closest that strips are woven. */
const SECTIONS: Record<string, [number, number, number, number]> = {
  'round warp, flat strip of 8 : 1': [0.15, 0.15, 0.4, 0.05],
  'thin warp, flattened cord': [0.1, 0.1, 0.45, 0.1],
  'both flattened 3 : 1': [0.3, 0.1, 0.3, 0.1],
};

describe('flat sections as drawn do not interpenetrate', () => {
  for (const name of Object.keys(SECTIONS))
    for (const [weaveName, weave, size] of [
      ['plain', plain, 2],
      ['2/2 twill', twill22, 4],
      ['satin of 5', satin5, 5],
    ] as const)
      it(`${name}, ${weaveName}: at most 1.5 % of D`, () => {
        const [aw, bw, af, bf] = SECTIONS[name];
        for (const warpTightness of [0, 30, 200]) {
          const problem = evenCloth({
            rows: size,
            ends: size,
            weave,
            p1: (aw + bf) / 0.35,
            p2: (af + bw) / 0.35,
            warpTightness,
            weftTightness: Math.min(2, warpTightness),
          });
          problem.endHalfWidthMm.fill(aw);
          problem.endHalfHeightMm.fill(bw);
          problem.rowHalfWidthMm.fill(af);
          problem.rowHalfHeightMm.fill(bf);
          expect(deepestPoint(problem, solve(problem)), `T·p²/B ${warpTightness}`).toBeLessThanOrEqual(0.015);
        }
      });
});

describe('the ellipse grown all round', () => {
  it('of a circle is the larger circle', () => {
    const profile = grownEllipseProfile(0.3, 0.3, 0.2);
    for (let k = 0; k < PROFILE_STEPS; k++) expect(profile[k]).toBeCloseTo(Math.sqrt(1 - (k / PROFILE_STEPS) ** 2), 9);
  });

  it('keeps a disc of radius r that rolls on it clear of the ellipse, and touching', () => {
    const [a, b, r] = [0.4, 0.05, 0.15];
    const profile = grownEllipseProfile(a, b, r);
    for (let k = 0; k < PROFILE_STEPS; k += 3) {
      const y = ((a + r) * k) / PROFILE_STEPS;
      const z = (b + r) * profile[k];
      let nearest = Infinity;
      for (let q = 0; q <= 4000; q++) {
        const angle = (Math.PI * q) / 4000;
        nearest = Math.min(nearest, Math.hypot(y - a * Math.cos(angle), z - b * Math.sin(angle)));
      }
      expect(nearest / r).toBeCloseTo(1, 4);
    }
  });
});
