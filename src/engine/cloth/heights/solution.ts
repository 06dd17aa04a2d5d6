import type { SolveResiduals } from '#engine/cloth/clothTypes.ts';
import { inBands } from '#engine/cloth/pauses.ts';
import type { Scratch } from '#engine/cloth/scratch.ts';
import { borderShare } from './borderShare.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import { contactForces, type SplittingState } from './splitting.ts';
import type { NodeSlopes } from './tiltedGap.ts';

/** Of the mid-surface, as it is added up. */
interface MidSums {
  height: number;
  weight: number;
}

/**
 * Heights and slopes in row-major fields, counted from the mean mid-surface; the wrap is still zero. To be called after
 * the residuals have been measured, which leaves the hold's load in its coefficients.
 * @param slopes of the beams at their present heights
 */
export function* assembleSolution(
  problem: HeightsProblem,
  grid: CrossingGrid,
  state: SplittingState,
  slopes: NodeSlopes,
  penalty: number,
  residuals: SolveResiduals,
  scratch: Scratch,
): Generator<void, HeightsSolution> {
  const { rows, ends } = grid;
  const size = rows * ends;
  const field = (name: string) => scratch.takeDirty(`solution ${name}`, size);
  const zeros = (name: string) => scratch.take(`solution ${name}`, size);
  const solution: Omit<HeightsSolution, 'levelMm'> = {
    rows,
    ends,
    warpHeightMm: field('warpHeightMm'),
    warpSlope: field('warpSlope'),
    weftHeightMm: field('weftHeightMm'),
    weftSlope: field('weftSlope'),
    warpWrapStartMm: zeros('warpWrapStartMm'),
    warpWrapEndMm: zeros('warpWrapEndMm'),
    weftWrapStartMm: zeros('weftWrapStartMm'),
    weftWrapEndMm: zeros('weftWrapEndMm'),
    contactForceN: field('contactForceN'),
    holdLoad: grid.hold.active ? grid.hold.coefficient.slice() : new Float64Array(0),
    residuals,
  };
  const sums: MidSums = { height: 0, weight: 0 };
  yield;
  yield* inBands(rows, ends, (from, to) => {
    copyRows(problem, grid, state, slopes, solution, sums, from, to);
    contactForces(grid, state, penalty, solution.contactForceN, from, to);
  });
  const middle = sums.height / sums.weight;
  yield* inBands(rows, ends, (from, to) => levelRows(problem, solution, middle, from, to));
  return { ...solution, levelMm: middle };
}

/** Counts the heights of rows fromRow .. toRow − 1 from the middle; beyond its ends a row keeps its last height. */
function levelRows(
  problem: HeightsProblem,
  solution: Omit<HeightsSolution, 'levelMm'>,
  middle: number,
  fromRow: number,
  toRow: number,
): void {
  const { ends, warpHeightMm, weftHeightMm, weftSlope } = solution;
  for (let at = fromRow * ends; at < toRow * ends; at++) {
    warpHeightMm[at] -= middle;
    weftHeightMm[at] -= middle;
  }
  for (let j = fromRow; j < toRow; j++) {
    const first = j * ends + problem.rowFirst[j];
    const last = j * ends + problem.rowLast[j];
    weftHeightMm.fill(weftHeightMm[first], j * ends, first);
    weftHeightMm.fill(weftHeightMm[last], last + 1, (j + 1) * ends);
    weftSlope.fill(0, j * ends, first);
    weftSlope.fill(0, last + 1, (j + 1) * ends);
  }
}

/** Copies rows fromRow .. toRow − 1 and adds their mid-surface to the sums. */
function copyRows(
  problem: HeightsProblem,
  grid: CrossingGrid,
  state: SplittingState,
  slopes: NodeSlopes,
  solution: Omit<HeightsSolution, 'levelMm'>,
  sums: MidSums,
  fromRow: number,
  toRow: number,
): void {
  const { ends, levels, levelOfRow, gap } = grid;
  const { warpHeightMm, warpSlope, weftHeightMm, weftSlope } = solution;
  const { warpHeight, weftHeight } = state;
  const { boundary } = problem;
  let { height, weight } = sums;
  for (let j = fromRow; j < toRow; j++) {
    const rowShare = borderShare(boundary, levelOfRow[j], levels);
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      const k = levelOfRow[j] * ends + i;
      warpHeightMm[at] = warpHeight[k];
      warpSlope[at] = slopes.warp[k];
      weftHeightMm[at] = weftHeight[at];
      weftSlope[at] = slopes.weft[at];
      if (gap[at] === 0) continue;
      const part = rowShare * borderShare(boundary, i, ends);
      weight += part;
      height += 0.5 * part * (warpHeight[k] + weftHeight[at]);
    }
  }
  sums.height = height;
  sums.weight = weight;
}
