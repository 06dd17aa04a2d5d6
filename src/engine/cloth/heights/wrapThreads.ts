import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import { PROFILE_STEPS, profileAt, type SectionProfiles, sectionProfiles } from './sectionSum.ts';
import { tiltedHalfHeight } from './tiltedGap.ts';
import { type WrapNode, wrapSegment } from './wrapSegment.ts';

/** Segments between two pauses: some milliseconds of work. */
const SEGMENTS_PER_PAUSE = 20_000;

const NO_PROFILE = new Float64Array(PROFILE_STEPS + 2);
const node = (): WrapNode => ({
  height: 0,
  slope: 0,
  side: 0,
  centre: 0,
  reach: 1,
  rise: 0,
  profile: NO_PROFILE,
});
const wrap = new Float64Array(2);

/**
 * Fills the wrap of every segment, so that drawn threads lie round the sections that they cross. It suffices to clear
 * the crossed section in the vertical plane of each thread: what one lies lower beside the crossing the other, cleared
 * likewise, leaves room for. Yields now and then, for the caller to report or stop.
 * @param everySample 1 checks all samples of a segment, 2 every other one (for previews)
 */
export function* wrapThreads(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
): Generator<void, void> {
  const { rows, ends, levels, levelOfRow, gap } = grid;
  const ofEnds = sectionProfiles(problem.endHalfHeightMm, problem.rowHalfWidthMm, problem.rowHalfHeightMm);
  const ofRows = sectionProfiles(problem.rowHalfHeightMm, problem.endHalfWidthMm, problem.endHalfHeightMm);
  let segments = 0;
  const firstRow = new Int32Array(levels).fill(rows);
  for (let j = rows - 1; j >= 0; j--) firstRow[levelOfRow[j]] = j;
  const rowAt = new Int32Array(levels);
  for (let i = 0; i < ends; i++) {
    rowAt.fill(-1);
    for (let j = 0; j < rows; j++) if (gap[j * ends + i] !== 0) rowAt[levelOfRow[j]] = j;
    wrapEnd(problem, grid, solution, everySample, ofEnds, i, rowAt, firstRow);
    segments += levels;
    if (segments < SEGMENTS_PER_PAUSE) continue;
    segments = 0;
    yield;
  }
  for (let j = 0; j < rows; j++) {
    wrapRow(problem, grid, solution, everySample, ofRows, j);
    segments += ends;
    if (segments < SEGMENTS_PER_PAUSE) continue;
    segments = 0;
    yield;
  }
}

function wrapEnd(
  problem: HeightsProblem,
  grid: CrossingGrid,
  solution: HeightsSolution,
  everySample: number,
  sections: SectionProfiles,
  i: number,
  rowAt: Int32Array,
  firstRow: Int32Array,
): void {
  const { rows, ends, levels, levelOfRow, levelYMm, gap } = grid;
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope, warpWrapStartMm, warpWrapEndMm } = solution;
  const halfHeight = problem.endHalfHeightMm[i];
  const halfWidth = problem.endHalfWidthMm[i];
  const set = (out: WrapNode, level: number) => {
    const row = rowAt[level];
    const at = (row < 0 ? firstRow[level] : row) * ends + i;
    out.height = warpHeightMm[at];
    out.slope = warpSlope[at];
    out.side = row < 0 ? 0 : gap[at] > 0 ? 1 : -1;
    if (row < 0) return;
    out.centre = weftHeightMm[at];
    out.profile = profileAt(sections, row, i);
    out.reach = problem.rowHalfWidthMm[row] + halfHeight;
    out.rise =
      tiltedHalfHeight(problem.rowHalfHeightMm[row], 0, weftSlope[at], 0) +
      tiltedHalfHeight(halfHeight, halfWidth, 0, weftSlope[at]);
  };
  const repeats = problem.boundary === 'periodic';
  const spans = repeats ? levels : levels - 1;
  let from = node();
  let to = node();
  set(from, 0);
  for (let k = 0; k < spans; k++) {
    const closes = k + 1 === levels;
    set(to, closes ? 0 : k + 1);
    const pitch = closes ? problem.periodYMm! - levelYMm[k] + levelYMm[0] : levelYMm[k + 1] - levelYMm[k];
    wrapSegment(from, to, pitch, everySample, wrap);
    for (let j = firstRow[k]; j < rows && levelOfRow[j] === k; j++) {
      warpWrapStartMm[j * ends + i] = wrap[0];
      warpWrapEndMm[j * ends + i] = wrap[1];
    }
    [from, to] = [to, from];
  }
}

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
  const { endXMm, rowFirst, rowLast, endHalfHeightMm, endHalfWidthMm } = problem;
  const halfHeight = problem.rowHalfHeightMm[j];
  const halfWidth = problem.rowHalfWidthMm[j];
  const set = (out: WrapNode, i: number) => {
    const at = j * ends + i;
    out.height = weftHeightMm[at];
    out.slope = weftSlope[at];
    out.side = gap[at] > 0 ? -1 : 1;
    out.centre = warpHeightMm[at];
    out.profile = profileAt(sections, i, j);
    out.reach = endHalfWidthMm[i] + halfHeight;
    out.rise =
      tiltedHalfHeight(endHalfHeightMm[i], 0, warpSlope[at], 0) +
      tiltedHalfHeight(halfHeight, halfWidth, 0, warpSlope[at]);
  };
  const first = rowFirst[j];
  const last = rowLast[j];
  const repeats = problem.boundary === 'periodic' && first === 0 && last === ends - 1;
  let from = node();
  let to = node();
  set(from, first);
  for (let i = first; i < last + (repeats ? 1 : 0); i++) {
    const closes = i + 1 === ends;
    set(to, closes ? 0 : i + 1);
    const pitch = closes ? problem.periodXMm! - endXMm[i] + endXMm[0] : endXMm[i + 1] - endXMm[i];
    wrapSegment(from, to, pitch, everySample, wrap);
    weftWrapStartMm[j * ends + i] = wrap[0];
    weftWrapEndMm[j * ends + i] = wrap[1];
    [from, to] = [to, from];
  }
}
