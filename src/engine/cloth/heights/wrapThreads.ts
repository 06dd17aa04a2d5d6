import { CROSSINGS_PER_PAUSE } from '#engine/cloth/pauses.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import { edgesAt, NO_EDGE, SAMPLES, type SectionProfiles, sectionProfiles } from './sectionSum.ts';
import { type WrapNode, wrapSegment } from './wrapSegment.ts';

const NO_EDGES = new Float64Array(SAMPLES).fill(NO_EDGE);
const node = (): WrapNode => ({ height: 0, slope: 0, side: 0, centre: 0, rise: 1, edges: NO_EDGES });
const from = node();
const to = node();
const wrap = new Float64Array(2);

/**
 * Height of two sections on top of each other where the crossed thread slopes (see tiltedHalfHeight): the crossed one's
 * half height, and the own thread's half height and half width.
 */
function riseOf(crossedHalf: number, ownHalf: number, ownHalfWidth: number, crossedSlope: number): number {
  const square = crossedSlope * crossedSlope;
  return crossedHalf * Math.sqrt(1 + square) + Math.sqrt(ownHalf * ownHalf + ownHalfWidth * ownHalfWidth * square);
}

/**
 * Fills the wrap of every segment, so that drawn threads lie round the sections that they cross. It suffices to clear
 * the crossed section in the vertical plane of each thread: what one lies lower beside the crossing the other, cleared
 * likewise, leaves room for. Pauses now and then.
 * @param everySample 1 checks all samples of a segment, 2 every other one (for previews)
 */
export function* wrapThreads(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
): Generator<void, void> {
  const { rows, ends, levels, levelOfRow } = grid;
  const ofEnds = sectionProfiles(problem.endHalfHeightMm, problem.rowHalfWidthMm, problem.rowHalfHeightMm);
  const ofRows = sectionProfiles(problem.rowHalfHeightMm, problem.endHalfWidthMm, problem.endHalfHeightMm);
  const firstRow = new Int32Array(levels).fill(rows);
  for (let j = rows - 1; j >= 0; j--) firstRow[levelOfRow[j]] = j;
  const spans = problem.boundary === 'periodic' ? levels : levels - 1;
  // Segments take about twice the time of a crossing elsewhere.
  const step = Math.max(1, Math.floor(CROSSINGS_PER_PAUSE / 2 / ends));
  for (let k = 0; k < spans; k++) {
    if (k % step === step - 1) yield;
    wrapEnds(problem, grid, solution, everySample, ofEnds, k, firstRow);
  }
  for (let j = 0; j < rows; j++) {
    if (j % step === step - 1) yield;
    wrapRow(problem, grid, solution, everySample, ofRows, j);
  }
}

/** The row that passes an end on a level, −1 where none does. */
function rowAt(grid: CrossingGrid, firstRow: Int32Array, level: number, end: number): number {
  const { rows, ends, gap, levelOfRow } = grid;
  for (let j = firstRow[level]; j < rows && levelOfRow[j] === level; j++) if (gap[j * ends + end] !== 0) return j;
  return -1;
}

/** The segments of all ends from level k to the next. */
function wrapEnds(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
  sections: SectionProfiles,
  k: number,
  firstRow: Int32Array,
): void {
  const { rows, ends, levels, levelOfRow, levelYMm, gap } = grid;
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope, warpWrapStartMm, warpWrapEndMm } = solution;
  const { endHalfHeightMm, endHalfWidthMm, rowHalfHeightMm } = problem;
  const closes = k + 1 === levels;
  const next = closes ? 0 : k + 1;
  const pitch = closes ? problem.periodYMm! - levelYMm[k] + levelYMm[0] : levelYMm[k + 1] - levelYMm[k];
  for (let i = 0; i < ends; i++) {
    set(from, k, i);
    set(to, next, i);
    wrapSegment(from, to, pitch, everySample, wrap);
    for (let j = firstRow[k]; j < rows && levelOfRow[j] === k; j++) {
      warpWrapStartMm[j * ends + i] = wrap[0];
      warpWrapEndMm[j * ends + i] = wrap[1];
    }
  }

  function set(out: WrapNode, level: number, i: number): void {
    const row = rowAt(grid, firstRow, level, i);
    const at = (row < 0 ? firstRow[level] : row) * ends + i;
    out.height = warpHeightMm[at];
    out.slope = warpSlope[at];
    out.side = row < 0 ? 0 : gap[at] > 0 ? 1 : -1;
    out.edges = row < 0 ? NO_EDGES : edgesAt(sections, row, i, pitch);
    if (row < 0) return;
    out.centre = weftHeightMm[at];
    out.rise = riseOf(rowHalfHeightMm[row], endHalfHeightMm[i], endHalfWidthMm[i], weftSlope[at]);
  }
}

/** The segments of a row. */
function wrapRow(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
  sections: SectionProfiles,
  j: number,
): void {
  const { ends, gap } = grid;
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope, weftWrapStartMm, weftWrapEndMm } = solution;
  const { endXMm, rowFirst, rowLast, endHalfHeightMm, periodXMm } = problem;
  const halfHeight = problem.rowHalfHeightMm[j];
  const halfWidth = problem.rowHalfWidthMm[j];
  const first = rowFirst[j];
  const last = rowLast[j];
  const repeats = problem.boundary === 'periodic' && first === 0 && last === ends - 1;
  for (let i = first; i < last + (repeats ? 1 : 0); i++) {
    const closes = i + 1 === ends;
    const pitch = closes ? periodXMm! - endXMm[i] + endXMm[0] : endXMm[i + 1] - endXMm[i];
    set(from, i, pitch);
    set(to, closes ? 0 : i + 1, pitch);
    wrapSegment(from, to, pitch, everySample, wrap);
    weftWrapStartMm[j * ends + i] = wrap[0];
    weftWrapEndMm[j * ends + i] = wrap[1];
  }

  function set(out: WrapNode, i: number, pitch: number): void {
    const at = j * ends + i;
    out.height = weftHeightMm[at];
    out.slope = weftSlope[at];
    out.side = gap[at] > 0 ? -1 : 1;
    out.centre = warpHeightMm[at];
    out.edges = edgesAt(sections, i, j, pitch);
    out.rise = riseOf(endHalfHeightMm[i], halfHeight, halfWidth, warpSlope[at]);
  }
}
