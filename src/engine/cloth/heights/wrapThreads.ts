import { CROSSINGS_PER_PAUSE } from '#engine/cloth/pauses.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { CrossingOffsets, HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import { type PassedSections, pressSides } from './passingRoom.ts';
import { edgesAt, edgesBeside, NO_EDGE, SAMPLES, type SectionProfiles, sectionProfiles } from './sectionSum.ts';
import { type WrapNode, wrapSegment } from './wrapSegment.ts';

const NO_EDGES = new Float64Array(SAMPLES).fill(NO_EDGE);
const node = (): WrapNode => ({ height: 0, slope: 0, side: 0, centre: 0, clear: 0, rise: 1, edges: NO_EDGES });
/** Edges of sections that have moved beside their node. */
const fromEdges = new Float64Array(SAMPLES);
const toEdges = new Float64Array(SAMPLES);
let from = node();
let to = node();
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
 * @param offsets where crossings have moved sideways; the solution then has its heights on the lines too
 */
export function* wrapThreads(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
  offsets: CrossingOffsets | null = null,
): Generator<void, void> {
  const { rows, ends, levels, levelOfRow } = grid;
  const ofEnds = sectionProfiles(problem.endHalfHeightMm, problem.rowHalfWidthMm, problem.rowHalfHeightMm);
  const ofRows = sectionProfiles(problem.rowHalfHeightMm, problem.endHalfWidthMm, problem.endHalfHeightMm);
  const rowsPassed = { sections: ofEnds, halfHeightMm: problem.rowHalfHeightMm, yields: problem.rowYields };
  const endsPassed = { sections: ofRows, halfHeightMm: problem.endHalfHeightMm, yields: problem.endYields };
  const firstRow = new Int32Array(levels).fill(rows);
  for (let j = rows - 1; j >= 0; j--) firstRow[levelOfRow[j]] = j;
  const spans = problem.boundary === 'periodic' ? levels : levels - 1;
  let rise = new Float64Array(ends);
  let nextRise = new Float64Array(ends);
  fillRises(problem, grid, solution, firstRow, 0, rise);
  // Segments take about twice the time of a crossing elsewhere.
  const step = Math.max(1, Math.floor(CROSSINGS_PER_PAUSE / 2 / ends));
  for (let k = 0; k < spans; k++) {
    if (k % step === step - 1) yield;
    const next = k + 1 === levels ? 0 : k + 1;
    fillRises(problem, grid, solution, firstRow, next, nextRise);
    wrapEnds(problem, grid, solution, everySample, rowsPassed, firstRow, k, next, rise, nextRise, offsets?.rowOffsetMm);
    [rise, nextRise] = [nextRise, rise];
  }
  for (let j = 0; j < rows; j++) {
    if (j % step === step - 1) yield;
    wrapRow(problem, grid, solution, everySample, endsPassed, j, offsets?.endOffsetMm);
  }
}

/** The row that passes an end on a level, −1 where none does. */
function rowAt(grid: CrossingGrid, firstRow: Int32Array, level: number, end: number): number {
  const { rows, ends, gap, levelOfRow } = grid;
  for (let j = firstRow[level]; j < rows && levelOfRow[j] === level; j++) if (gap[j * ends + end] !== 0) return j;
  return -1;
}

/** Height of the sections on top of each other at each end on a level (see riseOf). */
function fillRises(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  firstRow: Int32Array,
  level: number,
  rise: Float64Array,
): void {
  const { ends, crush } = grid;
  const { endHalfHeightMm, endHalfWidthMm, rowHalfHeightMm } = problem;
  const { weftSlope, contactForceN } = solution;
  for (let i = 0; i < ends; i++) {
    const row = rowAt(grid, firstRow, level, i);
    if (row < 0) continue;
    const at = row * ends + i;
    const force = contactForceN[at];
    const crossed = crush ? crush.rows[row].at(force) : rowHalfHeightMm[row];
    const own = crush ? crush.ends[i].at(force) : endHalfHeightMm[i];
    rise[i] = riseOf(crossed, own, endHalfWidthMm[i], weftSlope[at]);
  }
}

/** The segments of all ends from level k to the next, where the rises are known. */
function wrapEnds(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
  passed: PassedSections,
  firstRow: Int32Array,
  k: number,
  next: number,
  rise: Float64Array,
  nextRise: Float64Array,
  rowOffsetMm: Float64Array | undefined,
): void {
  const { rows, ends, levelOfRow, levelYMm } = grid;
  const { sections } = passed;
  const movedAt = (row: number, end: number) => (rowOffsetMm && row >= 0 ? rowOffsetMm[row * ends + end] : 0);
  const { warpWrapStartMm, warpWrapEndMm } = solution;
  const pitch = next === 0 ? problem.periodYMm! - levelYMm[k] + levelYMm[0] : levelYMm[next] - levelYMm[k];
  for (let i = 0; i < ends; i++) {
    setEndNode(from, grid, solution, sections, firstRow, k, i, pitch, rise[i], 1, rowOffsetMm);
    setEndNode(to, grid, solution, sections, firstRow, next, i, pitch, nextRise[i], -1, rowOffsetMm);
    if (from.side * to.side < 0) {
      const a = rowAt(grid, firstRow, k, i);
      const b = rowAt(grid, firstRow, next, i);
      const half = problem.endHalfHeightMm[i];
      pressSides(passed, i, half, pitch, from, to, a, b, movedAt(a, i), movedAt(b, i));
    }
    wrapSegment(from, to, pitch, everySample, wrap);
    for (let j = firstRow[k]; j < rows && levelOfRow[j] === k; j++) {
      warpWrapStartMm[j * ends + i] = wrap[0];
      warpWrapEndMm[j * ends + i] = wrap[1];
    }
  }
}

function setEndNode(
  out: WrapNode,
  grid: CrossingGrid,
  solution: HeightsSolution,
  sections: SectionProfiles,
  firstRow: Int32Array,
  level: number,
  i: number,
  pitch: number,
  rise: number,
  direction: 1 | -1,
  rowOffsetMm: Float64Array | undefined,
): void {
  const row = rowAt(grid, firstRow, level, i);
  const at = (row < 0 ? firstRow[level] : row) * grid.ends + i;
  const lines = solution.onLines ?? solution;
  out.height = lines.warpHeightMm[at];
  out.slope = lines.warpSlope[at];
  out.side = row < 0 ? 0 : grid.gap[at] > 0 ? 1 : -1;
  const moved = rowOffsetMm ? rowOffsetMm[at] : 0;
  out.edges =
    row < 0
      ? NO_EDGES
      : moved === 0
        ? edgesAt(sections, row, i, pitch)
        : edgesBeside(sections, row, i, pitch, direction * moved, direction > 0 ? fromEdges : toEdges);
  out.centre = solution.weftHeightMm[at];
  out.clear = out.side * (solution.warpHeightMm[at] - out.centre);
  out.rise = rise;
}

/** The segments of a row. */
function wrapRow(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
  passed: PassedSections,
  j: number,
  endOffsetMm: Float64Array | undefined,
): void {
  const { ends } = grid;
  const { sections } = passed;
  const { weftWrapStartMm, weftWrapEndMm } = solution;
  const { endXMm, rowFirst, rowLast, periodXMm } = problem;
  const first = rowFirst[j];
  const last = rowLast[j];
  const repeats = problem.boundary === 'periodic' && first === 0 && last === ends - 1;
  setRowNode(from, problem, grid, solution, j, first);
  for (let i = first; i < last + (repeats ? 1 : 0); i++) {
    const next = i + 1 === ends ? 0 : i + 1;
    const pitch = next === 0 ? periodXMm! - endXMm[i] + endXMm[0] : endXMm[next] - endXMm[i];
    setRowNode(to, problem, grid, solution, j, next);
    const movedFrom = endOffsetMm ? endOffsetMm[j * ends + i] : 0;
    const movedTo = endOffsetMm ? endOffsetMm[j * ends + next] : 0;
    from.edges =
      movedFrom === 0 ? edgesAt(sections, i, j, pitch) : edgesBeside(sections, i, j, pitch, movedFrom, fromEdges);
    to.edges =
      movedTo === 0 ? edgesAt(sections, next, j, pitch) : edgesBeside(sections, next, j, pitch, -movedTo, toEdges);
    pressSides(passed, j, problem.rowHalfHeightMm[j], pitch, from, to, i, next, movedFrom, movedTo);
    wrapSegment(from, to, pitch, everySample, wrap);
    weftWrapStartMm[j * ends + i] = wrap[0];
    weftWrapEndMm[j * ends + i] = wrap[1];
    const done = from;
    from = to;
    to = done;
  }
}

function setRowNode(
  out: WrapNode,
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  j: number,
  i: number,
): void {
  const at = j * grid.ends + i;
  const lines = solution.onLines ?? solution;
  out.height = lines.weftHeightMm[at];
  out.slope = lines.weftSlope[at];
  out.side = grid.gap[at] > 0 ? -1 : 1;
  out.centre = solution.warpHeightMm[at];
  out.clear = out.side * (solution.weftHeightMm[at] - out.centre);
  const { endHalfHeightMm, rowHalfHeightMm, rowHalfWidthMm } = problem;
  const { crush } = grid;
  const force = solution.contactForceN[at];
  const crossed = crush ? crush.ends[i].at(force) : endHalfHeightMm[i];
  const own = crush ? crush.rows[j].at(force) : rowHalfHeightMm[j];
  out.rise = riseOf(crossed, own, rowHalfWidthMm[j], solution.warpSlope[at]);
}
