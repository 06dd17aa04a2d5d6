import { describe, expect, it } from 'vitest';
import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import {
  type ClothSpec,
  evenCloth,
  largestDifference,
  layersOfPlain,
  plain,
  satin8,
  shadedSatin,
  solve,
  THEORY,
  warpRib22,
  xorshift,
} from './problems.ts';

const D = 0.4;

/** The weaves that every claim about convergence is made for; layered cloths set correspondingly closer. */
const WEAVES: Record<string, ClothSpec> = {
  plain: { rows: 2, ends: 2, weave: plain },
  'satin of 8': { rows: 8, ends: 8, weave: satin8 },
  'shaded picture 48 × 48': { rows: 48, ends: 48, weave: shadedSatin(48), boundary: 'mirrored' },
  'double plain': { rows: 4, ends: 4, weave: layersOfPlain(2), p1: 0.5, p2: 0.5 },
  'triple plain': { rows: 6, ends: 6, weave: layersOfPlain(3), p1: 1 / 3, p2: 1 / 3 },
};

/** T·p²/B of the warp on real looms lies between 15 and 270, of the weft between 0 and 5 (common practice). */
const TIGHTNESS = [0, 1, 30, 200];

const cloth = (name: string, tightness: number): HeightsProblem =>
  evenCloth({ ...WEAVES[name], warpTightness: tightness, weftTightness: Math.min(tightness, 4) });

/** Gives each thread a stiffness (and tension) within three decades and a thickness of its own. */
function vary(bending: Float64Array, tension: Float64Array, halfHeight: Float64Array, random: () => number): void {
  for (let k = 0; k < bending.length; k++) {
    const factor = 10 ** (3 * (random() - 0.5));
    bending[k] *= factor;
    tension[k] *= factor;
    halfHeight[k] *= 0.5 + random();
  }
}

describe('closed forms of small-slope theory', () => {
  it('crimp heights go inversely as bending stiffness over pitch cubed: 4 : 1 for a weft four times as stiff', () => {
    const s = solve(evenCloth({ rows: 2, ends: 2, weave: plain, B2: 4 }), THEORY);
    expect(s.warpHeightMm[0] / -s.weftHeightMm[0]).toBeCloseTo(4, 5);
    const uneven = solve(evenCloth({ rows: 2, ends: 2, weave: plain, B1: 2, B2: 3, p1: 0.7, p2: 1.1 }), THEORY);
    const expected = (3 * 1.1 ** 3) / (2 * 0.7 ** 3);
    expect(uneven.warpHeightMm[0] / -uneven.weftHeightMm[0]).toBeCloseTo(expected, 5);
  });

  it('the warp of a 2/2 warp rib of equal yarns and pitches takes 8/9 of the crimp height', () => {
    // A crossing costs ¾·B·h1²/p³ in the warp (++−−) and 6·B·h2²/p³ in the weft (+−); least at h1 : h2 = 8 : 1.
    const s = solve(evenCloth({ rows: 4, ends: 2, weave: warpRib22 }), THEORY);
    expect(Math.abs(s.warpHeightMm[0]) / D).toBeCloseTo(8 / 9, 5);
  });

  it('a plain contact presses with 24·B·h/p³', () => {
    const s = solve(evenCloth({ rows: 2, ends: 2, weave: plain, B1: 3, p2: 1.3 }), THEORY);
    const h = 2 * Math.abs(s.warpHeightMm[0]);
    for (const force of s.contactForceN) expect(force / ((24 * 3 * h) / 1.3 ** 3)).toBeCloseTo(1, 5);
  });

  it('sections that give: a plain contact closes by force over stiffness', () => {
    const problem = evenCloth({ rows: 2, ends: 2, weave: plain });
    const stiffness = {
      endContactStiffnessN: new Float64Array(2).fill(20),
      rowContactStiffnessN: new Float64Array(2).fill(40),
    };
    const s = solve({ ...problem, ...stiffness }, THEORY);
    // Each thread gives by its height (0.4) times force over stiffness; force is 24·B·h/p³ with h1 = h2 = h.
    const give = 0.4 / 20 + 0.4 / 40;
    const h = D / (1 + 24 * give);
    expect(s.warpHeightMm[0]).toBeCloseTo(h / 2, 6);
    expect(s.contactForceN[0]).toBeCloseTo(24 * h, 4);
  });

  it('the default confinement changes the crimp of a plain weave by less than 0.05 %', () => {
    const problem = evenCloth({ rows: 2, ends: 2, weave: plain, B2: 4, p2: 1.2 });
    const free = solve(problem, THEORY);
    const held = solve(problem, { ...THEORY, confinementShare: 0.01 });
    expect(Math.abs(held.warpHeightMm[0] / free.warpHeightMm[0] - 1)).toBeLessThan(5e-4);
    expect(Math.abs(held.contactForceN[0] / free.contactForceN[0] - 1)).toBeLessThan(5e-4);
  });
});

describe('the solution against one solved a hundred times more tightly', () => {
  for (const name of Object.keys(WEAVES))
    for (const tightness of TIGHTNESS)
      it(`${name}, T·p²/B ${tightness}: within 1 % of D, whatever the penalty`, () => {
        const problem = cloth(name, tightness);
        const tight = solve(problem, { tolerance: 1e-5, errorTolerance: 3e-5, maxIterations: 20_000 });
        expect(tight.residuals.converged).toBe(true);
        for (const penaltyScale of [0.25, 1, 4]) {
          const s = solve(problem, { penaltyScale });
          expect(s.residuals.converged).toBe(true);
          expect(s.residuals.penetration).toBeLessThanOrEqual(1e-3);
          expect(s.residuals.forceImbalance).toBeLessThanOrEqual(1e-3);
          expect(s.residuals.complementarity).toBeLessThanOrEqual(1e-3);
          expect(largestDifference(s, tight, D)).toBeLessThan(0.01);
        }
      });

  it('threads of very different stiffness: cord and thin yarn, 1000 : 1', () => {
    const problem = evenCloth({ rows: 8, ends: 8, weave: plain, p2: 1.6, warpTightness: 30 });
    for (let j = 0; j < 8; j += 2) {
      problem.rowBendingNmm2[j] = 1000;
      problem.rowHalfHeightMm[j] = 1;
    }
    const tight = solve(problem, { tolerance: 1e-5, errorTolerance: 3e-5, maxIterations: 20_000 });
    const s = solve(problem);
    expect(s.residuals.converged).toBe(true);
    expect(largestDifference(s, tight, D)).toBeLessThan(0.01);
    // The warp goes round the cord, which stays nearly straight.
    expect(Math.abs(s.weftHeightMm[0])).toBeLessThan(0.02);
    expect(Math.abs(s.warpHeightMm[0])).toBeGreaterThan(1);
  });
});

describe('clothes of any threads', () => {
  it('60 random weaves, stiffnesses over three decades, seed 12345: all settle within 1 % of D', {
    timeout: 240_000,
  }, () => {
    const random = xorshift(12345);
    for (let trial = 0; trial < 60; trial++) {
      const rows = 2 + Math.floor(14 * random());
      const ends = 2 + Math.floor(14 * random());
      const up = Array.from({ length: rows * ends }, () => random() < 0.5);
      const problem = evenCloth({
        rows,
        ends,
        weave: (j, i) => up[j * ends + i],
        boundary: random() < 0.5 ? 'periodic' : 'mirrored',
        p1: 0.5 + random(),
        p2: 0.5 + random(),
        warpTightness: 10 ** (3 * random() - 0.5),
        weftTightness: 10 ** (2 * random() - 1),
      });
      vary(problem.endBendingNmm2, problem.endTensionN, problem.endHalfHeightMm, random);
      vary(problem.rowBendingNmm2, problem.rowTensionN, problem.rowHalfHeightMm, random);
      const s = solve(problem);
      expect(s.residuals.converged, `trial ${trial}`).toBe(true);
      const tight = solve(problem, { tolerance: 1e-5, errorTolerance: 3e-5, maxIterations: 20_000 });
      expect(largestDifference(s, tight, D), `trial ${trial}`).toBeLessThan(0.01);
    }
  });
});

describe('start, quality and form', () => {
  it('a solution is its own start: nothing moves, and two checks suffice', () => {
    for (const name of Object.keys(WEAVES)) {
      const problem = cloth(name, 30);
      const tight = solve(problem, { tolerance: 1e-5, errorTolerance: 3e-5, maxIterations: 20_000 });
      const again = solve(problem, { start: tight });
      expect(again.residuals.iterations).toBeLessThanOrEqual(12);
      expect(largestDifference(again, tight, D)).toBeLessThan(1e-3);
    }
  });

  it('mirrored plain weave is periodic plain weave', () => {
    const periodic = solve(evenCloth({ rows: 2, ends: 2, weave: plain, B2: 4, warpTightness: 30 }), {
      tolerance: 1e-6,
      errorTolerance: 1e-6,
    });
    const mirrored = solve(
      evenCloth({ rows: 7, ends: 5, weave: plain, B2: 4, warpTightness: 30, boundary: 'mirrored' }),
      { tolerance: 1e-6, errorTolerance: 1e-6 },
    );
    for (let j = 0; j < 7; j++)
      for (let i = 0; i < 5; i++) {
        expect(mirrored.warpHeightMm[j * 5 + i]).toBeCloseTo(periodic.warpHeightMm[(j % 2) * 2 + (i % 2)], 4);
        expect(mirrored.contactForceN[j * 5 + i] / periodic.contactForceN[0]).toBeCloseTo(1, 3);
      }
  });

  it('a repeat solved twice over gives the repeat twice', () => {
    const once = solve(evenCloth({ rows: 8, ends: 8, weave: satin8, warpTightness: 30 }), { errorTolerance: 1e-4 });
    const twice = solve(evenCloth({ rows: 16, ends: 24, weave: satin8, warpTightness: 30 }), { errorTolerance: 1e-4 });
    for (let j = 0; j < 16; j++)
      for (let i = 0; i < 24; i++) {
        const a = once.warpHeightMm[(j % 8) * 8 + (i % 8)];
        expect(Math.abs(twice.warpHeightMm[j * 24 + i] - a)).toBeLessThan(2e-3 * D);
      }
  });

  it('turned over (lifts inverted), the cloth is the negative of itself', () => {
    const face = solve(evenCloth({ rows: 8, ends: 8, weave: satin8, warpTightness: 30 }));
    const back = solve(evenCloth({ rows: 8, ends: 8, weave: (j, i) => !satin8(j, i), warpTightness: 30 }));
    for (let k = 0; k < 64; k++) expect(face.warpHeightMm[k]).toBeCloseTo(-back.warpHeightMm[k], 9);
  });

  it('warp and weft exchange when the cloth is turned by 90°', () => {
    const spec = { rows: 8, ends: 8, B1: 2, p1: 0.8, warpTightness: 30, weftTightness: 2 };
    const s = solve(evenCloth({ ...spec, weave: satin8 }), { errorTolerance: 1e-4, tolerance: 1e-5 });
    const t = solve(
      evenCloth({
        rows: 8,
        ends: 8,
        weave: (j, i) => !satin8(i, j),
        B2: 2,
        p2: 0.8,
        weftTightness: 30,
        warpTightness: 2,
      }),
      { errorTolerance: 1e-4, tolerance: 1e-5 },
    );
    for (let j = 0; j < 8; j++)
      for (let i = 0; i < 8; i++)
        expect(Math.abs(s.warpHeightMm[j * 8 + i] - t.weftHeightMm[i * 8 + j])).toBeLessThan(1e-3 * D);
  });

  it('the mean mid-surface lies at zero', () => {
    const s = solve(cloth('satin of 8', 30));
    let sum = 0;
    for (let k = 0; k < s.warpHeightMm.length; k++) sum += s.warpHeightMm[k] + s.weftHeightMm[k];
    expect(Math.abs(sum / s.warpHeightMm.length)).toBeLessThan(1e-9);
  });

  it('preview of a shaded picture on the loom: 19 of 20 heights within 5 % of D of the settled ones, 99 of 100 within 8 %', () => {
    for (const warpTightness of [15, 30, 100]) {
      const problem = evenCloth({
        rows: 64,
        ends: 64,
        weave: shadedSatin(64),
        boundary: 'mirrored',
        warpTightness,
        weftTightness: 4,
      });
      const settled = solve(problem);
      const preview = solve(problem, { quality: 'preview' });
      expect(preview.residuals.iterations).toBeLessThanOrEqual(24);
      const errors = Array.from(settled.warpHeightMm, (z, k) =>
        Math.max(Math.abs(z - preview.warpHeightMm[k]), Math.abs(settled.weftHeightMm[k] - preview.weftHeightMm[k])),
      ).sort((a, b) => a - b);
      expect(errors[Math.floor(0.95 * errors.length)] / D).toBeLessThan(0.05);
      expect(errors[Math.floor(0.99 * errors.length)] / D).toBeLessThan(0.08);
    }
  });

  it('reports progress within a stage, rising, and ends', () => {
    const run = solveHeights(evenCloth({ rows: 96, ends: 96, weave: shadedSatin(96), boundary: 'mirrored' }));
    let last = -1;
    let reports = 0;
    for (;;) {
      const step = run.next();
      if (step.done) break;
      expect(step.value.stage).toBe('heights');
      expect(step.value.share).toBeGreaterThanOrEqual(last);
      expect(step.value.share).toBeLessThanOrEqual(1);
      last = step.value.share;
      reports++;
    }
    expect(reports).toBeGreaterThan(2);
  });
});
