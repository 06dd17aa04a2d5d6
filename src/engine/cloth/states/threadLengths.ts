import { type CurveNodes, curveLength } from '#engine/cloth/curve.ts';
import type { HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';

/** What the threads of a solved region measure along themselves, over what they cover. */
export interface ThreadLengths {
  /** Per space between a row and the next: mean length of the ends there over the space, ≥ 1. */
  readonly warpByRow: Float64Array;
  /** Per end, over the whole region. */
  readonly warpByEnd: Float64Array;
  /** Per row, over the ends that it passes. */
  readonly weftByRow: Float64Array;
  /** Bending energy of each system over B = 1 N mm², per mm of thread line: mean over its threads, weighted by B, N. */
  readonly warpBendingN: number;
  readonly weftBendingN: number;
}

/** ∫ z''² over one cubic Hermite span (1/mm): rise Δ (mm), slopes s0 and s1, span p (mm). Wrap is left out. */
function squaredCurvature(rise: number, s0: number, s1: number, p: number): number {
  const chord = rise / p;
  return (12 * chord * chord - 12 * chord * (s0 + s1) + 4 * (s0 * s0 + s0 * s1 + s1 * s1)) / p;
}

/** Spaces between threads that have room: one more than threads where the region repeats, else one less. */
export function spacesMm(positionMm: Float64Array, periodMm: number | undefined): Float64Array {
  const count = positionMm.length;
  return Float64Array.from({ length: periodMm === undefined ? count - 1 : count }, (_, k) =>
    k + 1 < count ? positionMm[k + 1] - positionMm[k] : (periodMm as number) - (positionMm[count - 1] - positionMm[0]),
  );
}

/** Lengths of all threads of a solved region. Spaces of no height (rows side by side) count as 1. */
export function threadLengths(problem: HeightsProblem, solution: HeightsSolution): ThreadLengths {
  const { rows, ends, rowFirst, rowLast, boundary } = problem;
  const periodic = boundary === 'periodic';
  const y = spacesMm(problem.rowYMm, problem.periodYMm);
  const x = spacesMm(problem.endXMm, problem.periodXMm);
  const warp: CurveNodes = {
    heightMm: solution.warpHeightMm,
    slope: solution.warpSlope,
    wrapStartMm: solution.warpWrapStartMm,
    wrapEndMm: solution.warpWrapEndMm,
  };
  const weft: CurveNodes = {
    heightMm: solution.weftHeightMm,
    slope: solution.weftSlope,
    wrapStartMm: solution.weftWrapStartMm,
    wrapEndMm: solution.weftWrapEndMm,
  };
  const warpByRow = new Float64Array(y.length).fill(1);
  const endMm = new Float64Array(ends);
  const weftByRow = new Float64Array(rows).fill(1);
  let warpBending = 0;
  let weftBending = 0;
  let spanY = 0;
  for (let row = 0; row < y.length; row++) {
    const p = y[row];
    if (p <= 0) continue;
    spanY += p;
    const above = ((row + 1) % rows) * ends;
    let sum = 0;
    for (let end = 0; end < ends; end++) {
      const from = row * ends + end;
      const to = above + end;
      const length = curveLength(warp, from, to, p);
      sum += length;
      endMm[end] += length;
      warpBending +=
        0.5 *
        problem.endBendingNmm2[end] *
        squaredCurvature(warp.heightMm[to] - warp.heightMm[from], warp.slope[from], warp.slope[to], p);
    }
    warpByRow[row] = sum / (ends * p);
  }
  let weftSpan = 0;
  for (let row = 0; row < rows; row++) {
    const first = periodic ? 0 : rowFirst[row];
    const last = periodic ? ends : rowLast[row];
    let length = 0;
    let span = 0;
    for (let end = first; end < last; end++) {
      const from = row * ends + end;
      const to = row * ends + ((end + 1) % ends);
      length += curveLength(weft, from, to, x[end]);
      span += x[end];
      weftBending +=
        0.5 *
        problem.rowBendingNmm2[row] *
        squaredCurvature(weft.heightMm[to] - weft.heightMm[from], weft.slope[from], weft.slope[to], x[end]);
    }
    weftSpan += span;
    if (span > 0) weftByRow[row] = length / span;
  }
  return {
    warpByRow,
    warpByEnd: endMm.map((mm) => (spanY > 0 ? mm / spanY : 1)),
    weftByRow,
    warpBendingN: spanY > 0 ? warpBending / (ends * spanY) : 0,
    weftBendingN: weftSpan > 0 ? weftBending / weftSpan : 0,
  };
}
