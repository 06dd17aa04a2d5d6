import { describe, expect, it } from 'vitest';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { findLikeContacts, isPile } from '#engine/cloth/heights/likeContacts.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import {
  type ClothSpec,
  evenCloth,
  largestDifference,
  layersOfPlain,
  plain,
  satin8,
  shadedSatin,
  solve,
  twill22,
  type Weave,
  xorshift,
} from './problems.ts';

const D = 0.4;

/** From the highest surface to the lowest, over D. */
function thickness(s: HeightsSolution): number {
  const all = [...s.warpHeightMm, ...s.weftHeightMm];
  return (Math.max(...all) - Math.min(...all) + D) / D;
}

/** Plain cloths one above another, each at the given tightness, their threads stacked over each other in plan. */
function stacked(layers: number, tightness: number): HeightsProblem {
  const size = 2 * layers;
  const problem = evenCloth({
    rows: size,
    ends: size,
    weave: layersOfPlain(layers),
    p1: 1 / layers,
    p2: 1 / layers,
  });
  problem.endTensionN.fill(tightness);
  problem.rowTensionN.fill(Math.min(tightness, 4));
  for (let k = 0; k < size; k++) {
    const at = Math.floor(k / layers) + 0.02 * (k % layers);
    problem.endXMm[k] = at;
    problem.rowYMm[k] = at;
  }
  return problem;
}

const single = (tightness: number) =>
  solve(evenCloth({ rows: 2, ends: 2, weave: plain, warpTightness: tightness, weftTightness: Math.min(tightness, 4) }));

describe('layers over one another', () => {
  for (const layers of [2, 3])
    for (const tightness of [0, 1, 30])
      it(`${layers} plain cloths stacked, T·p²/B ${tightness}: as thick as they are one by one, within 10 %`, () => {
        const s = solve(stacked(layers, tightness));
        expect(s.residuals.converged).toBe(true);
        // Taut warps leave hollows between wefts, into which layers that work in step nest a little.
        const share = thickness(s) / (layers * thickness(single(tightness)));
        expect(share).toBeGreaterThan(tightness < 30 ? 0.99 : 0.87);
        expect(share).toBeLessThan(1.01);
      });

  it('a padding pick between two plain cloths holds the picks over and under it apart (common practice)', () => {
    // Rows of each round: face pick, padding, back pick; ends: face, back. Padding lies under face ends and over back ones.
    const weave: Weave = (j, i) => {
      const face = i % 2 === 0;
      const round = Math.floor(j / 3) + Math.floor(i / 2);
      if (j % 3 === 1) return face;
      if (j % 3 === 0) return face && round % 2 === 0;
      return face || round % 2 === 0;
    };
    const problem = evenCloth({ rows: 6, ends: 4, weave, p1: 0.5, p2: 1 / 3 });
    for (let j = 0; j < 6; j++) {
      problem.rowYMm[j] = Math.floor(j / 3) + 0.05 * (j % 3);
      if (j % 3 === 1) problem.rowHalfHeightMm[j] = problem.rowHalfWidthMm[j] = 0.4;
    }
    const theory = { tiltedContacts: false };
    const s = solve(problem, theory);
    const none = { ...problem, rowHalfWidthMm: problem.rowHalfWidthMm.map(() => 1e-3) };
    const without = solve(none, theory);
    const nearest = (of: HeightsSolution) => {
      let least = Infinity;
      for (const [upper, lower] of [
        [0, 1],
        [1, 2],
        [3, 4],
        [4, 5],
      ])
        for (let i = 0; i < 4; i++)
          least = Math.min(least, of.weftHeightMm[4 * upper + i] - of.weftHeightMm[4 * lower + i]);
      return least;
    };
    // Half of a pick and half of the padding, 0.05 mm aside.
    expect(nearest(s)).toBeGreaterThan(0.99 * 0.6 * Math.sqrt(1 - (0.05 / 0.6) ** 2));
    // Without, what holds each pick up is a span away, and the padding runs into it by a tenth of their halves.
    expect(nearest(without)).toBeLessThan(0.93 * 0.6);
  });

  it('threads a hand’s breadth apart do not lie on one another', () => {
    expect(findLikeContacts(evenCloth({ rows: 4, ends: 4, weave: layersOfPlain(2) }))).toBeNull();
  });

  it('where threads pass between like ones there is no contact of these: plain, twill, satin, however crowded', () => {
    for (const [weave, size] of [
      [plain, 2],
      [twill22, 4],
      [satin8, 8],
    ] as const)
      expect(
        findLikeContacts(evenCloth({ rows: size, ends: size, weave, warpDiameter: 1.5, weftDiameter: 1.5 })),
      ).toBeNull();
  });

  it('a solution with like contacts is that of a solve a hundred times closer, within 1 % of D', () => {
    for (const tightness of [0, 1, 30]) {
      for (const problem of [stacked(2, tightness), stacked(3, tightness)]) {
        const tight = solve(problem, { tolerance: 1e-5, errorTolerance: 3e-5, maxIterations: 20_000 });
        for (const penaltyScale of [0.25, 1, 4]) {
          const s = solve(problem, { penaltyScale, maxIterations: 2000 });
          expect(s.residuals.converged).toBe(true);
          expect(largestDifference(s, tight, D)).toBeLessThan(0.01);
        }
        const again = solve(problem, { start: tight });
        expect(again.residuals.iterations).toBeLessThanOrEqual(24);
        expect(largestDifference(again, tight, D)).toBeLessThan(2e-3);
      }
    }
  });

  it('is within 1 % of D after sixty iterations in triple plain, however taut the warp', () => {
    for (const warpTightness of [0, 1, 3, 30, 100, 200]) {
      const loom = { warpTightness, weftTightness: Math.min(2, warpTightness) };
      const problem = evenCloth({ rows: 24, ends: 24, weave: layersOfPlain(3), p1: 1 / 3, p2: 1 / 3, ...loom });
      const end = solve(problem, { tolerance: 1e-7, errorTolerance: 1e-7, maxIterations: 5000, withoutWrap: true });
      expect(end.residuals.converged).toBe(true);
      const soon = solve(problem, { maxIterations: 60, withoutWrap: true });
      expect(largestDifference(soon, end, D), `T·p²/B ${warpTightness}`).toBeLessThan(0.01);
    }
  });

  it('a shaded picture is at most 1.3 times as thick as its thickest even shade', () => {
    const loom = { warpTightness: 30, weftTightness: 2 };
    const shades = Array.from({ length: 7 }, (_, k) => {
      const weave: Weave = (j, i) => (((i - 3 * j) % 8) + 8) % 8 <= k;
      return thickness(solve(evenCloth({ rows: 8, ends: 8, weave, ...loom })));
    });
    const spec: ClothSpec = { rows: 96, ends: 96, weave: shadedSatin(96), boundary: 'mirrored', ...loom };
    expect(thickness(solve(evenCloth(spec)))).toBeLessThan(1.3 * Math.max(...shades));
  });
});

/** Contacts as upper > lower, found node by node: the nearest lines either side at which lifts differ must agree. */
function contactsOneByOne(problem: HeightsProblem, widths: number): string[] {
  const { rows, ends, drawdown, boundary } = problem;
  const repeats = boundary === 'periodic';
  const found: string[] = [];
  const seek = (above: (k: number) => number, lines: number, from: number, step: 1 | -1): number => {
    for (let n = 1; n < lines; n++) {
      let k = from + step * n;
      if (repeats) k = ((k % lines) + lines) % lines;
      else if (k < 0 || k >= lines) return 0;
      if (above(k) !== 0) return above(k);
    }
    return 0;
  };
  for (const warp of [true, false]) {
    const threads = warp ? ends : rows;
    const lines = warp ? rows : ends;
    const up = (t: number, k: number) =>
      warp ? Number(isWarpUp(drawdown, k, t)) : 1 - Number(isWarpUp(drawdown, t, k));
    for (let t = 0; t < threads; t++) {
      for (let step = 1; step <= 3; step++) {
        const u = (t + step) % threads;
        if (u === t || (t + step >= threads && !repeats)) break;
        if (step >= widths) break;
        const above = (k: number) => up(t, k) - up(u, k);
        for (let k = 0; k < lines; k++) {
          if (above(k) !== 0) continue;
          const left = seek(above, lines, k, -1);
          const right = seek(above, lines, k, 1);
          const order = repeats || (left !== 0 && right !== 0) ? (left === right ? left : 0) : left + right;
          if (order === 0) continue;
          const at = (thread: number) => (warp ? k * ends + thread : thread * ends + k);
          found.push(`${warp} ${at(order > 0 ? t : u)} ${at(order > 0 ? u : t)}`);
        }
      }
    }
  }
  return found.sort();
}

describe('which like threads lie on one another', () => {
  it('three layers and more are a pile, two are none', () => {
    expect(isPile(findLikeContacts(stacked(2, 1))!)).toBe(false);
    for (const layers of [3, 4]) expect(isPile(findLikeContacts(stacked(layers, 1))!)).toBe(true);
  });

  it('40 random weaves, seed 77, found by words of 32 lines as they are one by one', () => {
    const random = xorshift(77);
    for (let trial = 0; trial < 40; trial++) {
      const rows = 2 + Math.floor(70 * random());
      const ends = 2 + Math.floor(70 * random());
      // Threads mostly of two layers, so that there is something to find.
      const up = Array.from({ length: rows * ends }, (_, at) => {
        const layered = layersOfPlain(2)(Math.floor(at / ends), at % ends);
        return random() < 0.9 ? layered : random() < 0.5;
      });
      const boundary = random() < 0.5 ? 'periodic' : 'mirrored';
      const problem = evenCloth({ rows, ends, weave: (j, i) => up[j * ends + i], boundary });
      const wide = 0.5 + 2 * random();
      problem.endHalfWidthMm.fill(wide / 2);
      problem.rowHalfWidthMm.fill(wide / 2);
      const found = findLikeContacts(problem);
      const names = Array.from({ length: found?.count ?? 0 }, (_, c) => {
        return `${c < found!.ofEnds} ${found!.upper[c]} ${found!.lower[c]}`;
      });
      expect(names.sort()).toEqual(contactsOneByOne(problem, wide));
    }
  });

  it('two rows crossed by ends they share alone, beside one that runs part of the way', () => {
    const problem = evenCloth({ rows: 4, ends: 12, weave: layersOfPlain(2), boundary: 'mirrored', p2: 0.1 });
    problem.rowFirst[1] = 3;
    problem.rowLast[1] = 8;
    const found = findLikeContacts(problem)!;
    for (let c = found.ofEnds; c < found.count; c++) {
      for (const node of [found.upper[c], found.lower[c]]) {
        if (Math.floor(node / 12) !== 1) continue;
        expect(node % 12).toBeGreaterThanOrEqual(3);
        expect(node % 12).toBeLessThanOrEqual(8);
      }
    }
    expect(solve(problem).residuals.converged).toBe(true);
  });
});
