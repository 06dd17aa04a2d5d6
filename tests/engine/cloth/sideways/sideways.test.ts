import { describe, expect, it } from 'vitest';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { spanStiffness } from '#engine/cloth/heights/tieBeam.ts';
import type { SectionFields } from '#engine/cloth/sideways/neighbourRoom.ts';
import type { PlanThreads } from '#engine/cloth/sideways/planSide.ts';
import { solveSidewaysInBands } from '#engine/cloth/sideways/rowBands.ts';
import { type SidewaysOptions, type SidewaysSolution, solveSideways } from '#engine/cloth/sideways/solveSideways.ts';
import { type Drawdown, drawdownFromRows } from '#engine/draft/drawdown.ts';
import {
  type ClothSpec,
  evenCloth,
  plain,
  satin5,
  solve,
  twill22,
  type Weave,
} from '#tests/engine/cloth/heights/problems.ts';
import { likesOverlapAt, overlapAt } from '#tests/helpers/drawnOverlap.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const DIAMETER = 0.3;
const hopsack: Weave = (j, i) => ((j >> 1) + (i >> 1)) % 2 === 0;

/** Threads alike in plan and out of it, hard at their sides. */
function alike(problem: HeightsProblem): PlanThreads {
  const { rows, ends } = problem;
  return {
    endBendingNmm2: problem.endBendingNmm2,
    rowBendingNmm2: problem.rowBendingNmm2,
    endContactWidthMm: new Float64Array(ends).fill(DIAMETER),
    rowContactWidthMm: new Float64Array(rows).fill(DIAMETER),
    endStiffnessN: new Float64Array(ends).fill(3000),
    rowStiffnessN: new Float64Array(rows).fill(3000),
  };
}

function round(problem: HeightsProblem): SectionFields {
  const ones = () => new Float32Array(problem.rows * problem.ends).fill(1);
  return { warpWidth: ones(), warpHeight: ones(), weftWidth: ones(), weftHeight: ones() };
}

function cloth(weave: Weave, size: number, spec: Partial<ClothSpec> = {}): HeightsProblem {
  return evenCloth({
    rows: size,
    ends: size,
    weave,
    warpDiameter: DIAMETER,
    weftDiameter: DIAMETER,
    warpTightness: 4,
    weftTightness: 4,
    ...spec,
  });
}

function aside(
  problem: HeightsProblem,
  options: SidewaysOptions = {},
  solution: HeightsSolution = solve(problem),
): SidewaysSolution | null {
  return finish(solveSideways(problem, solution, round(problem), alike(problem), options));
}

describe('threads that work alike bunch, threads that part stay apart (common practice)', () => {
  it('plain weave does not move, by symmetry', () => {
    expect(aside(cloth(plain, 2), { frictionCoefficient: 0 })).toBeNull();
    const whole = aside(cloth(plain, 9, { boundary: 'mirrored' }), { frictionCoefficient: 0 });
    if (whole) for (const offset of whole.endOffsetMm) expect(Math.abs(offset)).toBeLessThan(2e-3 * DIAMETER);
  });

  it('ends and rows of a hopsack close up in their pairs', () => {
    const found = aside(cloth(hopsack, 4), { frictionCoefficient: 0 })!;
    expect(found.converged).toBe(true);
    for (let j = 0; j < 4; j++) {
      const [a, b, c, d] = found.endOffsetMm.subarray(4 * j, 4 * j + 4);
      for (const [left, right] of [
        [a, b],
        [c, d],
      ]) {
        expect(left).toBeGreaterThan(0.1 * DIAMETER);
        expect(right).toBeLessThan(-0.1 * DIAMETER);
      }
    }
    for (let i = 0; i < 4; i++) {
      expect(found.rowOffsetMm[i]).toBeGreaterThan(0.1 * DIAMETER);
      expect(found.rowOffsetMm[4 + i]).toBeLessThan(-0.1 * DIAMETER);
    }
  });

  it('and no further than they touch', () => {
    const problem = cloth(hopsack, 4, { p1: 0.4, p2: 0.4 });
    const found = aside(problem, { frictionCoefficient: 0 })!;
    const apart = 0.4 + found.endOffsetMm[1] - found.endOffsetMm[0];
    // The side's spring gives by a fiftieth under the pushes of so stiff threads.
    expect(apart).toBeGreaterThan(0.97 * DIAMETER);
    expect(apart).toBeLessThan(1.05 * DIAMETER);
  });

  it('in twill and satin neighbours under one float are nearer each other than where the weft dives between them', () => {
    for (const [weave, size] of [
      [twill22, 4],
      [satin5, 5],
    ] as const) {
      const found = aside(cloth(weave, size), { frictionCoefficient: 0 })!;
      const together: number[] = [];
      const parted: number[] = [];
      for (let j = 0; j < size; j++) {
        for (let i = 0; i < size; i++) {
          const next = (i + 1) % size;
          const change = found.endOffsetMm[j * size + next] - found.endOffsetMm[j * size + i];
          (weave(j, i) === weave(j, next) ? together : parted).push(change);
        }
      }
      expect(Math.max(...together)).toBeLessThan(Math.min(...parted));
      expect(Math.min(...parted)).toBeGreaterThan(0);
    }
  });

  it('a hopsack solved whole moves as its repeat does', () => {
    const repeat = aside(cloth(hopsack, 4), { frictionCoefficient: 0 })!;
    // Reflected in the middle of pairs' threads the outermost pairs differ; four repeats in, hardly anything is left of it.
    const whole = aside(cloth(hopsack, 34, { boundary: 'mirrored' }), { frictionCoefficient: 0 })!;
    const at = (i: number) => whole.endOffsetMm[16 * 34 + i];
    for (const i of [16, 18])
      expect(Math.abs(at(i + 1) - at(i) - repeat.endOffsetMm[1] + repeat.endOffsetMm[0])).toBeLessThan(0.05 * DIAMETER);
    // Pairs themselves lie where the outermost leave them: without friction 0.06 off, solved to the end (0.05 held of a
    // solve that stopped before it got there).
    for (const i of [16, 17, 18, 19]) expect(Math.abs(at(i) - repeat.endOffsetMm[i % 4])).toBeLessThan(0.08 * DIAMETER);
  });

  it('rows and ends change roles when the cloth is turned by 90°', () => {
    const found = aside(cloth(satin5, 5, { p1: 0.8, B1: 2 }), { frictionCoefficient: 0 })!;
    const turned = aside(
      cloth((j, i) => !satin5(i, j), 5, { p2: 0.8, B2: 2 }),
      { frictionCoefficient: 0 },
    )!;
    for (let j = 0; j < 5; j++)
      for (let i = 0; i < 5; i++)
        expect(Math.abs(found.endOffsetMm[j * 5 + i] - turned.rowOffsetMm[i * 5 + j])).toBeLessThan(0.01 * DIAMETER);
  });
});

describe('friction', () => {
  it('holds what a thread round a peg cannot move: nothing moves where tan(θ/2) < μ', () => {
    // Capstan statics: the pull past a peg is T (1 − cos θ) sideways and T sin θ down on it.
    const problem = cloth(hopsack, 4, { weftTightness: 400, warpTightness: 400 });
    const solution = solve(problem);
    let steepest = 0;
    for (let j = 0; j < 4; j++)
      for (const [a, b] of [[1, 2]] as const)
        steepest = Math.max(steepest, Math.abs(solution.weftHeightMm[4 * j + b] - solution.weftHeightMm[4 * j + a]));
    const mu = Math.tan(Math.atan(steepest) / 2);
    expect(aside(problem, { frictionCoefficient: 1.5 * mu }, solution)).toBeNull();
    expect(aside(problem, { frictionCoefficient: 0.5 * mu }, solution)).not.toBeNull();
  });

  it('the more of it, the less moves', () => {
    const problem = cloth(hopsack, 4);
    const moved = [0, 0.1, 0.2].map((mu) => aside(problem, { frictionCoefficient: mu })?.endOffsetMm[0] ?? 0);
    expect(moved[0]).toBeGreaterThan(moved[1]);
    expect(moved[1]).toBeGreaterThan(moved[2]);
  });
});

/** ½∫B z'' ² + ½∫T z'² of every thread, spans as crossings have moved; plus the same of the offsets in plan. */
function energy(problem: HeightsProblem, s: HeightsSolution, o: SidewaysSolution | null): number {
  const { rows, ends } = problem;
  const k = { shear: 0, cross: 0, near: 0, far: 0 };
  let sum = 0;
  const span = (p: number, B: number, T: number, z0: number, s0: number, z1: number, s1: number) => {
    spanStiffness(p, B, T, k);
    const rise = z1 - z0;
    sum +=
      0.5 * k.shear * rise ** 2 - k.cross * rise * (s0 + s1) + 0.5 * k.near * (s0 ** 2 + s1 ** 2) + k.far * s0 * s1;
  };
  const x = (at: number) => o?.endOffsetMm[at] ?? 0;
  const y = (at: number) => o?.rowOffsetMm[at] ?? 0;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      const up = ((j + 1) % rows) * ends + i;
      const right = j * ends + ((i + 1) % ends);
      const { warpHeightMm: wz, warpSlope: ws, weftHeightMm: fz, weftSlope: fs } = s;
      const [B1, T1, B2, T2] = [
        problem.endBendingNmm2[i],
        problem.endTensionN[i],
        problem.rowBendingNmm2[j],
        problem.rowTensionN[j],
      ];
      span(1 + y(up) - y(at), B1, T1, wz[at], ws[at], wz[up], ws[up]);
      span(1 + x(right) - x(at), B2, T2, fz[at], fs[at], fz[right], fs[right]);
      if (!o) continue;
      span(1, B1, T1, x(at), o.endOffsetSlope[at], x(up), o.endOffsetSlope[up]);
      span(1, B2, T2, y(at), o.rowOffsetSlope[at], y(right), o.rowOffsetSlope[right]);
    }
  }
  return sum;
}

describe('heights and offsets in turn', () => {
  for (const [name, weave, size] of [
    ['hopsack', hopsack, 4],
    ['twill', twill22, 4],
    ['satin of 5', satin5, 5],
  ] as const)
    it(`${name}: energy never rises from pass to pass`, () => {
      const problem = cloth(weave, size);
      const exact = { tiltedContacts: false, tolerance: 1e-6, errorTolerance: 1e-6, maxIterations: 20_000 };
      let solution = solve(problem, { ...exact, withoutWrap: true });
      let offsets: SidewaysSolution | null = null;
      let before = energy(problem, solution, null);
      const first = before;
      for (let pass = 0; pass < 4; pass++) {
        const options: SidewaysOptions = {
          frictionCoefficient: 0,
          tolerance: 1e-5,
          maxIterations: 4000,
          ...(offsets ? { start: offsets } : {}),
        };
        offsets = aside(problem, options, solution)!;
        const moved = energy(problem, solution, offsets);
        // What the solvers leave undone is a few millionths of the whole.
        expect(moved).toBeLessThan(before * (1 + 1e-5));
        const { endOffsetMm, rowOffsetMm } = offsets;
        solution = solve({ ...problem, endOffsetMm, rowOffsetMm }, { ...exact, withoutWrap: true });
        const lifted = energy(problem, solution, offsets);
        expect(lifted).toBeLessThan(moved * (1 + 1e-5));
        before = lifted;
      }
      expect(before).toBeLessThan(0.999 * first);
    });
});

const rows = (text: string): Drawdown => drawdownFromRows(text.split(' ').map((row) => [...row].map(Number)));
const cotton = {
  ...roundBody('8/2', 0.462, 0.016, 147.6),
  bodyWidthMm: 0.462 / 0.73,
  bodyHeightMm: 0.462 / 0.73,
  freeWidthMm: 0.462 / 0.73,
  contactStiffnessN: 30,
};

describe('forecasts with threads that have moved', () => {
  const weaves: Record<string, Drawdown> = {
    hopsack: rows('1100 1100 0011 0011'),
    'hopsack of three': rows('111000 111000 111000 000111 000111 000111'),
    'lace of three': rows('101010 111000 101010 010101 000111 010101'),
    'twill 3/1': rows('1110 0111 1011 1101'),
  };
  const base = { rows: 40, ends: 40, endsPerCm: 8, warp: [cotton], weft: [cotton] };

  it('pairs of a hopsack lie side by side and leave gaps between pairs', () => {
    const { geometry } = finish(forecastCloth(clothProblem({ ...base, weave: weaves.hopsack }), 'settled'));
    const { offsetMm } = geometry.warp;
    const pitchMm = geometry.endXMm[1] - geometry.endXMm[0];
    const within = pitchMm + offsetMm[1] - offsetMm[0];
    const between = pitchMm + offsetMm[2] - offsetMm[1];
    expect(within).toBeLessThan(1.1 * cotton.bodyWidthMm);
    expect(between).toBeGreaterThan(1.4 * pitchMm);
  });

  it('no threads run into each other as drawn: unlike within 3 % of D, like within 6 % of touching', () => {
    // Like threads give sideways by some hundredths of their width; their sections are held apart at nodes and half way.
    for (const [name, weave] of Object.entries(weaves)) {
      for (const endTensionN of [0.6, 0.05]) {
        const problem = clothProblem({ ...base, weave, endTensionN });
        const { geometry } = finish(forecastCloth(problem, 'settled'));
        for (let j = 8; j < 8 + 2 * geometry.periodRows; j++) {
          for (let i = 4; i < 30; i++) {
            expect(overlapAt(problem, geometry, j, i), name).toBeLessThan(0.03);
            expect(likesOverlapAt('ends', problem, geometry, j, i), name).toBeLessThan(0.06);
            expect(likesOverlapAt('rows', problem, geometry, j, i), name).toBeLessThan(0.06);
          }
        }
      }
    }
  });
});

describe('a large cloth in bands of rows', () => {
  it('moves as it does whole, but for 2 % of the width near where bands meet', () => {
    const problem = cloth((j, i) => hopsack(j, i) !== (j % 7 === 0), 40, { boundary: 'mirrored', rows: 120 });
    const solution = solve(problem, { quality: 'preview' });
    const options = { frictionCoefficient: 0.05, maxIterations: 24 };
    const once = finish(solveSideways(problem, solution, round(problem), alike(problem), options))!;
    const banded = finish(solveSidewaysInBands(problem, solution, round(problem), alike(problem), options, 1600))!;
    let worst = 0;
    for (let at = 0; at < once.endOffsetMm.length; at++) {
      worst = Math.max(worst, Math.abs(once.endOffsetMm[at] - banded.endOffsetMm[at]));
      worst = Math.max(worst, Math.abs(once.rowOffsetMm[at] - banded.rowOffsetMm[at]));
    }
    expect(worst).toBeGreaterThan(0);
    expect(worst).toBeLessThan(0.02 * DIAMETER);
  });
});
