import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import { tiltedHalfHeight } from './tiltedGap.ts';
import { type WrapNode, wrapSegment } from './wrapSegment.ts';

const node = (): WrapNode => ({ height: 0, slope: 0, side: 0, centre: 0, reach: 1, rise: 0 });
const from = node();
const to = node();
const wrap = new Float64Array(2);

/**
 * Fills the wrap of every segment, so that drawn threads lie round the sections that they cross. It suffices to clear
 * the crossed section in the vertical plane of each thread: what one lies lower beside the crossing the other, cleared
 * likewise, leaves room for.
 * @param everySample 1 checks all samples of a segment, 2 every other one (for previews)
 */
export function wrapThreads(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
): void {
  wrapWarp(problem, grid, solution, everySample);
  wrapWeft(problem, grid, solution, everySample);
}

function wrapWarp(problem: HeightsProblem, grid: CrossingGrid, solution: HeightsSolution, everySample: number): void {
  const { rows, ends, levels, levelOfRow, levelYMm, gap } = grid;
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope } = solution;
  const rowAt = new Int32Array(levels);
  const firstRow = new Int32Array(levels + 1).fill(rows);
  for (let j = rows - 1; j >= 0; j--) firstRow[levelOfRow[j]] = j;
  const set = (out: WrapNode, i: number, level: number) => {
    const row = rowAt[level];
    const at = (row < 0 ? firstRow[level] : row) * ends + i;
    out.height = warpHeightMm[at];
    out.slope = warpSlope[at];
    out.side = row < 0 ? 0 : gap[at] > 0 ? 1 : -1;
    if (row < 0) return;
    out.centre = weftHeightMm[at];
    out.reach = problem.rowHalfWidthMm[row] + problem.endHalfHeightMm[i];
    out.rise =
      tiltedHalfHeight(problem.rowHalfHeightMm[row], 0, weftSlope[at], 0) +
      tiltedHalfHeight(problem.endHalfHeightMm[i], problem.endHalfWidthMm[i], 0, weftSlope[at]);
  };
  const spans = problem.boundary === 'periodic' ? levels : levels - 1;
  const extent = levelYMm[levels - 1] - levelYMm[0];
  for (let i = 0; i < ends; i++) {
    rowAt.fill(-1);
    for (let j = 0; j < rows; j++) if (gap[j * ends + i] !== 0) rowAt[levelOfRow[j]] = j;
    for (let k = 0; k < spans; k++) {
      const next = k + 1 < levels ? k + 1 : 0;
      const pitch = k + 1 < levels ? levelYMm[k + 1] - levelYMm[k] : problem.periodYMm! - extent;
      set(from, i, k);
      set(to, i, next);
      wrapSegment(from, to, pitch, everySample, wrap);
      for (let j = firstRow[k]; j < rows && levelOfRow[j] === k; j++) {
        solution.warpWrapStartMm[j * ends + i] = wrap[0];
        solution.warpWrapEndMm[j * ends + i] = wrap[1];
      }
    }
  }
}

function wrapWeft(problem: HeightsProblem, grid: CrossingGrid, solution: HeightsSolution, everySample: number): void {
  const { rows, ends, gap } = grid;
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope } = solution;
  const { endXMm, rowFirst, rowLast } = problem;
  const set = (out: WrapNode, j: number, i: number) => {
    const at = j * ends + i;
    out.height = weftHeightMm[at];
    out.slope = weftSlope[at];
    out.side = gap[at] > 0 ? -1 : 1;
    out.centre = warpHeightMm[at];
    out.reach = problem.endHalfWidthMm[i] + problem.rowHalfHeightMm[j];
    out.rise =
      tiltedHalfHeight(problem.endHalfHeightMm[i], 0, warpSlope[at], 0) +
      tiltedHalfHeight(problem.rowHalfHeightMm[j], problem.rowHalfWidthMm[j], 0, warpSlope[at]);
  };
  for (let j = 0; j < rows; j++) {
    const whole = rowFirst[j] === 0 && rowLast[j] === ends - 1;
    const closes = whole && problem.boundary === 'periodic';
    for (let i = rowFirst[j]; i < rowLast[j] + (closes ? 1 : 0); i++) {
      const next = i + 1 < ends ? i + 1 : 0;
      const pitch = i + 1 < ends ? endXMm[i + 1] - endXMm[i] : problem.periodXMm! - (endXMm[ends - 1] - endXMm[0]);
      set(from, j, i);
      set(to, j, next);
      wrapSegment(from, to, pitch, everySample, wrap);
      solution.weftWrapStartMm[j * ends + i] = wrap[0];
      solution.weftWrapEndMm[j * ends + i] = wrap[1];
    }
  }
}
