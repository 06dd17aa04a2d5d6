import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { CrushTable } from '#engine/cloth/heights/crushTable.ts';
import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { bundleBody } from '#engine/yarn/bundleBody.ts';
import { compressionPressure, crushedHeightMm, crushLawOf } from '#engine/yarn/compression.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';
import { evenCloth, largestDifference, layersOfPlain, plain, satin8, shadedSatin, solve } from './problems.ts';

/** 8/2 cotton: 0.462 mm under a crossing, 0.633 free. */
const cotton: YarnBody = {
  ...roundBody('8/2', 0.462, 0.016, 147.6),
  bodyWidthMm: 0.633,
  bodyHeightMm: 0.633,
  freeWidthMm: 0.633,
  contactStiffnessN: 11,
  contactPacking: 0.6,
};
const law = crushLawOf(cotton);

describe('how a section gives under a crossing', () => {
  it('height and force follow P = K E (φ³ − φ0³) (C. M. van Wyk 1946) at constant width', () => {
    // Packing goes inversely as height; pressures of any two heights are in the ratio that van Wyk's law gives.
    const packing = (heightMm: number) => (0.6 * law.contactHeightMm) / heightMm;
    const rest = packing(law.restHeightMm);
    const at = (forceN: number) => compressionPressure(1, packing(crushedHeightMm(law, forceN)), rest);
    expect(at(0)).toBeCloseTo(0, 12);
    for (const force of [0.02, 0.05, 0.1, 0.3]) expect(at(2 * force) / at(force)).toBeCloseTo(2, 6);
  });

  it('gives ever less, down to what round fibres leave at their closest, and solid sections not at all', () => {
    let before = law.restHeightMm;
    let gave = Infinity;
    for (let force = 0.05; force < 0.6; force += 0.05) {
      const height = crushedHeightMm(law, force);
      expect(before - height).toBeLessThan(gave);
      gave = before - height;
      before = height;
    }
    expect(crushedHeightMm(law, 1e3) / law.contactHeightMm).toBeCloseTo(0.6 / 0.8, 9);
    const wire = crushLawOf({ ...roundBody('wire', 0.3, 1), contactStiffnessN: 5000, contactPacking: 1 });
    expect(crushedHeightMm(wire, 5)).toBe(0.3);
  });

  it('the table is the law within 0.5 % of the height', () => {
    const table = new CrushTable(law);
    for (const force of [0, 0.003, 0.01, 0.05, 0.1, 0.3, 1, 3, 10])
      expect(Math.abs((2 * table.at(force)) / crushedHeightMm(law, force) - 1)).toBeLessThan(5e-3);
    const step = 1e-3;
    expect(table.giveAt(0.2)).toBeCloseTo((table.at(0.2) - table.at(0.2 + step)) / step, 2);
  });
});

/** Threads of the size of 8/2 cotton that give as it does; T in N, p mm. */
function soft(spec: Parameters<typeof evenCloth>[0], warpN: number): HeightsProblem {
  const problem = evenCloth({ ...spec, B1: 0.016, B2: 0.016, warpDiameter: 0.462, weftDiameter: 0.462 });
  problem.endTensionN.fill(warpN);
  problem.rowTensionN.fill(0.05);
  return { ...problem, endCrush: Array(spec.ends).fill(law), rowCrush: Array(spec.rows).fill(law) };
}

describe('heights with sections that give', () => {
  const clothes = {
    plain: soft({ rows: 2, ends: 2, weave: plain, p1: 1.1, p2: 1.1 }, 0.6),
    'plain, slack': soft({ rows: 2, ends: 2, weave: plain, p1: 1.1, p2: 1.1 }, 0.02),
    'satin of 8': soft({ rows: 8, ends: 8, weave: satin8, p1: 0.7, p2: 0.7 }, 0.6),
    'double plain': soft({ rows: 4, ends: 4, weave: layersOfPlain(2), p1: 0.6, p2: 0.5 }, 0.3),
    'shaded picture': soft({ rows: 32, ends: 32, weave: shadedSatin(32), boundary: 'mirrored', p1: 0.8, p2: 0.8 }, 0.5),
  };
  for (const [name, problem] of Object.entries(clothes)) {
    it(`${name}: each crossing stands as its own force leaves its sections`, () => {
      const s = solve(problem, { tiltedContacts: false, withoutWrap: true });
      expect(s.residuals.converged).toBe(true);
      let pressed = 0;
      for (let at = 0; at < s.contactForceN.length; at++) {
        const force = s.contactForceN[at];
        const apart = Math.abs(s.warpHeightMm[at] - s.weftHeightMm[at]);
        const height = crushedHeightMm(law, force);
        if (force > 1e-3) {
          pressed++;
          expect(Math.abs(apart / height - 1)).toBeLessThan(0.01);
        } else expect(apart).toBeGreaterThan(0.99 * height);
      }
      expect(pressed).toBeGreaterThan(0);
    });

    it(`${name}: settles within 1 % of D of a solve a hundred times closer`, () => {
      const tight = solve(problem, { tolerance: 1e-5, errorTolerance: 3e-5, maxIterations: 20_000 });
      const s = solve(problem);
      expect(s.residuals.converged).toBe(true);
      expect(largestDifference(s, tight, 0.462)).toBeLessThan(0.01);
      expect(largestDifference(solve(problem, { start: s }), tight, 0.462)).toBeLessThan(0.01);
    });
  }

  it('softer yarns make a thinner cloth, and press less', () => {
    const of = (stiffnessN: number) => {
      const problem = soft({ rows: 2, ends: 2, weave: plain, p1: 1.1, p2: 1.1 }, 0.6);
      const softer = { ...law, stiffnessN };
      return solve({ ...problem, endCrush: [softer, softer], rowCrush: [softer, softer] });
    };
    const [hard, medium, limp] = [100, 11, 4].map(of);
    for (const [more, less] of [
      [hard, medium],
      [medium, limp],
    ]) {
      expect(less.contactForceN[0]).toBeLessThan(more.contactForceN[0]);
      const apart = (s: typeof more) => Math.abs(s.warpHeightMm[0] - s.weftHeightMm[0]);
      expect(apart(less)).toBeLessThan(0.97 * apart(more));
    }
  });
});

const rows = (text: string) => drawdownFromRows(text.split(' ').map((row) => [...row].map(Number)));

describe('odd wefts between ends of cotton', () => {
  const weave = (weft: YarnBody, endsPerCm = 5) => {
    const problem = clothProblem({ weave: rows('10 01'), rows: 40, ends: 24, endsPerCm, warp: [cotton], weft: [weft] });
    return finish(forecastCloth(problem, 'settled'));
  };
  const roving: YarnBody = {
    ...roundBody('roving', 2.7, 0.4, 5000),
    bodyWidthMm: 3.8,
    bodyHeightMm: 3.8,
    freeWidthMm: 4,
    contactStiffnessN: 19,
    contactPacking: 0.3,
  };
  const wire: YarnBody = { ...roundBody('wire', 0.6, 80, 2500), contactStiffnessN: 5000, contactPacking: 1 };

  it('loose fibre is pressed far below its rest, wire not at all (common practice)', () => {
    const soft = weave(roving).geometry.weft;
    for (const factor of soft.heightFactor) {
      expect(factor * 2.7).toBeLessThan(0.85 * 3.8);
      expect(factor).toBeGreaterThan(0.3 / 0.8 - 0.01);
    }
    for (const factor of weave(wire).geometry.weft.heightFactor) expect(factor).toBeCloseTo(1, 2);
  });

  it('wire stays straight and the ends take all of the crimp: one yarn straight, h = D of the other (Peirce 1937)', () => {
    const { geometry } = weave(wire);
    const D = (0.462 + 0.6) / 2;
    for (const z of geometry.weft.heightMm) expect(Math.abs(z)).toBeLessThan(0.01 * D);
    for (let k = 0; k < geometry.warp.heightMm.length; k++) {
      const half = (0.462 * geometry.warp.heightFactor[k] + 0.6) / 2;
      expect(Math.abs(Math.abs(geometry.warp.heightMm[k]) / half - 1)).toBeLessThan(0.25);
      expect(Math.abs(geometry.warp.heightMm[k])).toBeGreaterThan(0.95 * half);
    }
  });

  it('two strands in one shed lie as a bundle and flatten together', () => {
    const pair = bundleBody([cotton, cotton], ['a', 'b']);
    const { geometry } = weave(pair, 8);
    const single = weave(cotton, 8).geometry;
    const height = pair.contactHeightMm * geometry.weft.heightFactor[0];
    const width = pair.contactWidthMm * geometry.weft.widthFactor[0];
    expect(height).toBeLessThan(1.35 * cotton.contactHeightMm * single.weft.heightFactor[0]);
    expect(width).toBeGreaterThan(1.5 * cotton.contactWidthMm);
  });
});
