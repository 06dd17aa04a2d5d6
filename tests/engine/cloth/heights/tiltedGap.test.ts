import { vec3 } from 'gl-matrix';
import { describe, expect, it } from 'vitest';
import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { evenCloth, solve, twill22 } from './problems.ts';

const HALF_WIDTH = 0.3;
const HALF_HEIGHT = 0.2;

function twill(yields: number): HeightsProblem {
  const problem = evenCloth({ rows: 4, ends: 4, weave: twill22, warpDiameter: 0.4, weftDiameter: 0.4 });
  const all = (value: number) => new Float64Array(4).fill(value);
  return {
    ...problem,
    endHalfWidthMm: all(HALF_WIDTH),
    rowHalfWidthMm: all(HALF_WIDTH),
    endYields: new Uint8Array(4).fill(yields),
    rowYields: new Uint8Array(4).fill(yields),
  };
}

/** Distance of two straight lines that cross `gap` above one another, warp along (0, 1, s), weft along (1, 0, t) (geometry). */
function distanceOfLines(gap: number, s: number, t: number): { distance: number; normal: vec3 } {
  const normal = vec3.cross(vec3.create(), [1, 0, t], [0, 1, s]);
  vec3.normalize(normal, normal);
  return { distance: Math.abs(gap * normal[2]), normal };
}

/** Solves and yields the least difference of a crossing's distance from what it needs by `needed`, and the steepest slope. */
function crossings(problem: HeightsProblem, needed: (normal: vec3, s: number, t: number) => number) {
  const solution = solve(problem, { withoutWrap: true });
  let worst = 0;
  let steepest = 0;
  for (let at = 0; at < 16; at++) {
    if (!(solution.contactForceN[at] > 0)) continue;
    const [s, t] = [solution.warpSlope[at], solution.weftSlope[at]];
    const { distance, normal } = distanceOfLines(solution.warpHeightMm[at] - solution.weftHeightMm[at], s, t);
    worst = Math.max(worst, Math.abs(distance / needed(normal, s, t) - 1));
    steepest = Math.max(steepest, Math.abs(t));
  }
  return { worst, steepest };
}

describe('threads that touch on a slope', () => {
  it('yielding sections are pressed along the contact’s normal: centre lines lie the sum of both half heights apart', () => {
    const { worst, steepest } = crossings(twill(1), () => 2 * HALF_HEIGHT);
    expect(steepest).toBeGreaterThan(0.1);
    expect(worst).toBeLessThan(0.01);
  });

  it('sections that keep their faces lie apart by the support of both ellipses along that normal', () => {
    const { worst, steepest } = crossings(twill(0), ([x, y, z]) => {
      // Of each, across its own thread: the warp's width lies along x, the weft's along y.
      return (
        Math.hypot(HALF_WIDTH * x, HALF_HEIGHT * Math.hypot(y, z)) +
        Math.hypot(HALF_WIDTH * y, HALF_HEIGHT * Math.hypot(x, z))
      );
    });
    expect(steepest).toBeGreaterThan(0.1);
    expect(worst).toBeLessThan(0.01);
  });
});
