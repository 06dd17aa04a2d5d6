import { describe, expect, it } from 'vitest';
import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { evenCloth, plain, solve, xorshift } from './problems.ts';

const D = 0.4;
const finite = (values: Float64Array) => values.every((v) => Number.isFinite(v));

/** A plain cloth of whole rows, with the rows of the given indices cut to some of the ends. */
function withSpans(rows: number, ends: number, spans: Record<number, [number, number]>): HeightsProblem {
  const problem = evenCloth({ rows, ends, weave: plain, boundary: 'mirrored', warpTightness: 30 });
  for (const [row, [first, last]] of Object.entries(spans)) {
    problem.rowFirst[Number(row)] = first;
    problem.rowLast[Number(row)] = last;
  }
  return problem;
}

describe('rows that pass only some of the ends', () => {
  it('settle, touch only where they pass, and hold their last height beyond', () => {
    const problem = withSpans(12, 16, { 3: [4, 9], 6: [0, 5], 9: [11, 15] });
    const s = solve(problem);
    expect(s.residuals.converged).toBe(true);
    for (const [row, first, last] of [
      [3, 4, 9],
      [6, 0, 5],
      [9, 11, 15],
    ]) {
      for (let i = 0; i < 16; i++) {
        const at = row * 16 + i;
        if (i < first) expect(s.weftHeightMm[at]).toBe(s.weftHeightMm[row * 16 + first]);
        if (i > last) expect(s.weftHeightMm[at]).toBe(s.weftHeightMm[row * 16 + last]);
        if (i < first || i > last) expect(s.contactForceN[at]).toBe(0);
        else expect(s.contactForceN[at]).toBeGreaterThan(0);
      }
    }
  });

  it('where a row is absent the end runs on as if the row were not there', () => {
    // One short row in a cloth of 9; at ends that it does not pass the curve must be that of the 8 whole rows.
    const short = withSpans(9, 32, { 4: [0, 1] });
    const without = evenCloth({ rows: 8, ends: 32, weave: plain, boundary: 'mirrored', warpTightness: 30 });
    const y = short.rowYMm;
    without.rowYMm.set([0, 1, 2, 3, 5, 6, 7, 8].map((j) => y[j]));
    const weave = (j: number, i: number) => plain(j < 4 ? j : j - 1, i);
    const same = { ...short, drawdown: evenCloth({ rows: 9, ends: 32, weave }).drawdown };
    const options = { tolerance: 1e-5, errorTolerance: 1e-5, tiltedContacts: false };
    const a = solve(same, options);
    const b = solve({ ...without, drawdown: evenCloth({ rows: 8, ends: 32, weave: plain }).drawdown }, options);
    // Far from the short row's end.
    for (let i = 16; i < 32; i++)
      for (let j = 0; j < 8; j++) {
        const k = (j < 4 ? j : j + 1) * 32 + i;
        expect(Math.abs(a.warpHeightMm[k] - b.warpHeightMm[j * 32 + i])).toBeLessThan(0.05 * D);
      }
  });

  it('two passes side by side in one shed share a y, and are one row to the warp', () => {
    const whole = evenCloth({ rows: 24, ends: 40, weave: plain, boundary: 'mirrored', warpTightness: 30 });
    const weave = (j: number, i: number) => plain(j < 13 ? j : j - 1, i);
    const split = evenCloth({ rows: 25, ends: 40, weave, boundary: 'mirrored', warpTightness: 30 });
    for (let j = 13; j < 25; j++) split.rowYMm[j] = j - 1;
    split.rowLast[12] = 19;
    split.rowFirst[13] = 20;
    const a = solve(split);
    const b = solve(whole);
    expect(a.residuals.converged).toBe(true);
    for (let i = 0; i < 40; i++) {
      expect(a.warpHeightMm[12 * 40 + i]).toBe(a.warpHeightMm[13 * 40 + i]);
      expect(a.warpSlope[12 * 40 + i]).toBe(a.warpSlope[13 * 40 + i]);
    }
    // Some way from the cut the warp lies as under one whole row: there the cut shows by less than 5 % of D.
    for (let i = 0; i < 40; i++) {
      if (Math.abs(i - 19.5) < 6) continue;
      for (let j = 0; j < 24; j++) {
        const k = (j < 13 ? j : j + 1) * 40 + i;
        expect(Math.abs(a.warpHeightMm[k] - b.warpHeightMm[j * 40 + i])).toBeLessThan(0.05 * D);
      }
    }
  });

  it('rows at one y that pass the same ends, rows over a single end, and a lone crossing all give finite heights', () => {
    const clash = withSpans(6, 8, { 2: [0, 5], 3: [3, 7] });
    clash.rowYMm[3] = clash.rowYMm[2];
    const single = withSpans(6, 8, { 2: [4, 4] });
    const lone = evenCloth({ rows: 1, ends: 1, weave: plain });
    const lonely = evenCloth({ rows: 1, ends: 1, weave: plain, boundary: 'mirrored' });
    for (const problem of [clash, single, lone, lonely]) {
      const s = solve(problem);
      for (const values of [s.warpHeightMm, s.warpSlope, s.weftHeightMm, s.weftSlope, s.warpWrapEndMm, s.weftWrapEndMm])
        expect(finite(values)).toBe(true);
      expect(s.residuals.penetration).toBeLessThanOrEqual(1e-3);
    }
  });
});

describe('clothes of short rows', () => {
  it('40 random cloths, half of their rows short and some side by side, seed 99: finite, settled, flat', () => {
    const random = xorshift(99);
    for (let trial = 0; trial < 40; trial++) {
      const rows = 1 + Math.floor(24 * random());
      const ends = 1 + Math.floor(24 * random());
      const up = Array.from({ length: rows * ends }, () => random() < 0.5);
      const problem = evenCloth({
        rows,
        ends,
        weave: (j, i) => up[j * ends + i],
        boundary: random() < 0.3 ? 'periodic' : 'mirrored',
        warpTightness: 30 * random(),
        weftTightness: 4 * random(),
      });
      for (let j = 0; j < rows; j++) {
        const [a, b] = [Math.floor(ends * random()), Math.floor(ends * random())];
        if (random() < 0.5) continue;
        problem.rowFirst[j] = Math.min(a, b);
        problem.rowLast[j] = Math.max(a, b);
        if (j > 0 && random() < 0.3) problem.rowYMm[j] = problem.rowYMm[j - 1];
      }
      const s = solve(problem);
      for (const values of [
        s.warpHeightMm,
        s.warpSlope,
        s.weftHeightMm,
        s.weftSlope,
        s.warpWrapStartMm,
        s.weftWrapEndMm,
      ])
        expect(finite(values), `trial ${trial}`).toBe(true);
      expect(s.residuals.converged, `trial ${trial}`).toBe(true);
      for (const z of s.warpHeightMm) expect(Math.abs(z)).toBeLessThan(20 * D);
    }
  });
});

describe('problems that cannot be', () => {
  const good = () => evenCloth({ rows: 2, ends: 2, weave: plain });
  it.each([
    ['endXMm of end 1', (p: HeightsProblem) => p.endXMm.fill(0)],
    ['rowYMm of row 1', (p: HeightsProblem) => p.rowYMm.set([1, 0])],
    ['endBendingNmm2 of end 1', (p: HeightsProblem) => p.endBendingNmm2.set([1, 0])],
    ['rowTensionN of row 0', (p: HeightsProblem) => p.rowTensionN.set([-1, 0])],
    ['rowHalfHeightMm of row 1', (p: HeightsProblem) => p.rowHalfHeightMm.set([1, Number.NaN])],
    ['row 1', (p: HeightsProblem) => p.rowFirst.set([0, 2])],
  ])('names %s', (place, spoil) => {
    const problem = good();
    spoil(problem);
    expect(() => solve(problem)).toThrow(place);
  });

  it('names what is missing from a repeat', () => {
    expect(() => solve({ ...good(), periodXMm: undefined })).toThrow('periodXMm');
    expect(() => solve({ ...good(), rowTensionN: new Float64Array(3) })).toThrow('rowTensionN');
  });
});
