import type { CrossingOffsets, HeightsProblem, HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { rowsPerPause } from '#engine/cloth/pauses.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import type { SectionFields } from './neighbourRoom.ts';
import type { PlanThreads } from './planSide.ts';
import { type SidewaysOptions, type SidewaysSolution, solveSideways } from './solveSideways.ts';

/** Crossings moved at once: a score of fields each, so that memory stays within some tens of MB. */
const CROSSINGS_PER_BAND = 400_000;
/** Rows beyond a band's own that are moved with it and then left to the next: what moves there is felt no further. */
const HALO_ROWS = 16;

/** The fields of rows from .. to − 1, without copying. */
function rowsOf<T extends Float64Array | Float32Array>(field: T, ends: number, from: number, to: number): T {
  return field.subarray(from * ends, to * ends) as T;
}

function bandProblem(problem: HeightsProblem, from: number, to: number): HeightsProblem {
  const { ends, drawdown } = problem;
  const { wordsPerRow, bits } = drawdown;
  const { periodXMm: _x, periodYMm: _y, ...whole } = problem;
  return {
    ...whole,
    rows: to - from,
    drawdown: { rows: to - from, ends, wordsPerRow, bits: bits.subarray(from * wordsPerRow, to * wordsPerRow) },
    boundary: 'mirrored',
    rowFirst: problem.rowFirst.subarray(from, to),
    rowLast: problem.rowLast.subarray(from, to),
    rowYMm: problem.rowYMm.subarray(from, to),
    rowBendingNmm2: problem.rowBendingNmm2.subarray(from, to),
    rowTensionN: problem.rowTensionN.subarray(from, to),
    rowHalfHeightMm: problem.rowHalfHeightMm.subarray(from, to),
    rowHalfWidthMm: problem.rowHalfWidthMm.subarray(from, to),
    ...(problem.rowYields ? { rowYields: problem.rowYields.subarray(from, to) } : {}),
  };
}

/**
 * The same as solveSideways, for a large cloth in bands of rows with a halo, one after another. A repeat is never so
 * large as to be parted.
 */
export function* solveSidewaysInBands(
  problem: HeightsProblem,
  solution: HeightsSolution,
  sections: SectionFields,
  threads: PlanThreads,
  options: SidewaysOptions = {},
  crossingsPerBand = CROSSINGS_PER_BAND,
): Generator<void, SidewaysSolution | null> {
  const { rows, ends, boundary } = problem;
  const own = Math.max(2 * HALO_ROWS, Math.floor(crossingsPerBand / ends));
  if (boundary === 'periodic' || rows <= own + HALO_ROWS)
    return yield* solveSideways(problem, solution, sections, threads, options);
  const { start: _, sides: _sides, scratch = new Scratch(), ...unstarted } = options;
  const size = rows * ends;
  const all = {
    endOffsetMm: new Float64Array(size),
    endOffsetSlope: new Float64Array(size),
    rowOffsetMm: new Float64Array(size),
    rowOffsetSlope: new Float64Array(size),
  };
  let moves = false;
  let iterations = 0;
  let converged = true;
  for (let row = 0; row < rows; row += own) {
    const last = Math.min(rows, row + own);
    const from = Math.max(0, row - HALO_ROWS);
    const to = Math.min(rows, last + HALO_ROWS);
    const part = <T extends Float64Array | Float32Array>(field: T) => rowsOf(field, ends, from, to);
    const start: CrossingOffsets | undefined = options.start && {
      endOffsetMm: part(options.start.endOffsetMm),
      rowOffsetMm: part(options.start.rowOffsetMm),
    };
    const others = { ...unstarted, scratch };
    const found = yield* solveSideways(
      bandProblem(problem, from, to),
      {
        ...solution,
        rows: to - from,
        warpHeightMm: part(solution.warpHeightMm),
        warpSlope: part(solution.warpSlope),
        weftHeightMm: part(solution.weftHeightMm),
        weftSlope: part(solution.weftSlope),
        contactForceN: part(solution.contactForceN),
      },
      {
        warpWidth: part(sections.warpWidth),
        warpHeight: part(sections.warpHeight),
        weftWidth: part(sections.weftWidth),
        weftHeight: part(sections.weftHeight),
      },
      {
        ...threads,
        rowBendingNmm2: threads.rowBendingNmm2.subarray(from, to),
        rowContactWidthMm: threads.rowContactWidthMm.subarray(from, to),
        rowStiffnessN: threads.rowStiffnessN.subarray(from, to),
      },
      start ? { ...others, start } : others,
    );
    if (!found) continue;
    moves = true;
    iterations = Math.max(iterations, found.iterations);
    converged &&= found.converged;
    const step = rowsPerPause(ends);
    for (let at = row; at < last; at += step) {
      const stop = Math.min(last, at + step);
      for (const name of ['endOffsetMm', 'endOffsetSlope', 'rowOffsetMm', 'rowOffsetSlope'] as const)
        all[name].set(rowsOf(found[name], ends, at - from, stop - from), at * ends);
      yield;
    }
  }
  return moves ? { ...all, iterations, converged } : null;
}
