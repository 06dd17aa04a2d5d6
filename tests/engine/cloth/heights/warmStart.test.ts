import { describe, expect, it } from 'vitest';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { createDrawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { evenCloth, largestDifference, layersOfPlain, plain, satin8, shadedSatin, solve } from './problems.ts';

const D = 0.4;
const SIDE = 48;
const WEAVES = { plain, satin8, shadedSatin: shadedSatin(SIDE), doublePlain: layersOfPlain(2) };

function loomCloth(name: keyof typeof WEAVES): HeightsProblem {
  const pitch = name === 'doublePlain' ? { p1: 0.5, p2: 0.5 } : {};
  const weave = WEAVES[name];
  return evenCloth({
    rows: SIDE,
    ends: SIDE,
    weave,
    boundary: 'mirrored',
    warpTightness: 30,
    weftTightness: 2,
    ...pitch,
  });
}

function firmer(problem: HeightsProblem): HeightsProblem {
  return { ...problem, rowYMm: problem.rowYMm.map((y) => 0.97 * y) };
}

/** Ten crossings along a diagonal lie the other way up. */
function turned(problem: HeightsProblem): HeightsProblem {
  const drawdown = createDrawdown(SIDE, SIDE);
  drawdown.bits.set(problem.drawdown.bits);
  for (let k = 0; k < 10; k++) setWarpUp(drawdown, 10 + k, 15 + k, !isWarpUp(drawdown, 10 + k, 15 + k));
  return { ...problem, drawdown };
}

const EDITS: Record<string, (problem: HeightsProblem) => HeightsProblem> = {
  'a firmer beat': firmer,
  'more warp tension': (problem) => ({ ...problem, endTensionN: problem.endTensionN.map((t) => 1.3 * t) }),
  'ten crossings turned': turned,
};

/** Difference that 95 of 100 heights do not exceed, as a share of D. */
function commonDifference(a: HeightsSolution, b: HeightsSolution): number {
  const differences = Array.from(a.warpHeightMm, (z, k) =>
    Math.max(Math.abs(z - b.warpHeightMm[k]), Math.abs(a.weftHeightMm[k] - b.weftHeightMm[k])),
  ).sort((x, y) => x - y);
  return differences[Math.floor(0.95 * differences.length)] / D;
}

describe('a solve that starts from the last one', () => {
  for (const name of Object.keys(WEAVES) as (keyof typeof WEAVES)[]) {
    for (const [edit, change] of Object.entries(EDITS)) {
      it(`${name}, ${edit}: settles within 1 % of D of a solve from nothing that is a hundred times closer`, () => {
        const scratch = new Scratch();
        const start = solve(loomCloth(name), { scratch });
        const edited = change(loomCloth(name));
        const close = solve(edited, { tolerance: 1e-5, errorTolerance: 3e-5, maxIterations: 20_000 });
        const warm = solve(edited, { scratch, start });
        expect(warm.residuals.converged).toBe(true);
        expect(largestDifference(warm, close, D)).toBeLessThan(0.01);
      });
    }

    it(`${name}: previews of a beat made firmer step by step keep 19 of 20 heights within 5 % of D`, () => {
      const scratch = new Scratch();
      let problem = loomCloth(name);
      let start = solve(problem, { scratch });
      for (let step = 0; step < 4; step++) {
        problem = firmer(problem);
        start = solve(problem, { quality: 'preview', scratch, start });
        expect(start.residuals.iterations).toBeLessThanOrEqual(12);
        expect(commonDifference(start, solve(problem))).toBeLessThan(0.05);
      }
    });
  }

  it('after ten crossings turned, a preview has 19 of 20 heights within 5 % of D', () => {
    for (const name of ['plain', 'satin8', 'shadedSatin'] as const) {
      const edited = turned(loomCloth(name));
      const preview = solve(edited, { quality: 'preview', start: solve(loomCloth(name)) });
      expect(commonDifference(preview, solve(edited))).toBeLessThan(0.05);
    }
  });
});

describe('memory kept from solve to solve', () => {
  it('leaves no trace: the same numbers as in fresh memory, after larger, smaller and partial cloths', () => {
    const scratch = new Scratch();
    const partial = loomCloth('plain');
    partial.rowFirst[20] = 10;
    partial.rowLast[21] = 30;
    const small = evenCloth({ rows: 12, ends: 20, weave: satin8, boundary: 'mirrored', warpTightness: 5 });
    for (const problem of [loomCloth('shadedSatin'), partial, small, loomCloth('satin8'), partial]) {
      const kept = solve(problem, { scratch });
      const fresh = solve(problem);
      for (const field of ['warpHeightMm', 'weftSlope', 'contactForceN', 'warpWrapStartMm', 'weftWrapEndMm'] as const)
        expect(Array.from(kept[field])).toEqual(Array.from(fresh[field]));
    }
  });
});
