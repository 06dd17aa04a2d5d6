import type { SolveResiduals } from '#engine/cloth/clothTypes.ts';
import { sweepFamily } from './beamFamily.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import { fitLoad } from './holdFlat.ts';
import { contactForces, projectContacts, type SplittingState } from './splitting.ts';

/** Heights and slopes in row-major fields, counted from the mean mid-surface; the wrap is still zero. */
export function assembleSolution(
  problem: HeightsProblem,
  grid: CrossingGrid,
  state: SplittingState,
  penalty: number,
  residuals: SolveResiduals,
): HeightsSolution {
  const { rows, ends, levels, levelOfRow, gap } = grid;
  const size = rows * ends;
  if (grid.hold.active) fitLoad(grid, state, penalty);
  const holdLoad = grid.hold.active ? grid.hold.coefficient.slice() : new Float64Array(0);
  const warpSlopes = new Float64Array(state.warpHeight.length);
  const weftSlope = new Float64Array(size);
  sweepFamily(grid.warp, penalty, state.warpPull, state.warpHeight, warpSlopes);
  sweepFamily(grid.weft, penalty, state.weftPull, state.weftHeight, weftSlope);
  const warpHeightMm = new Float64Array(size);
  const warpSlope = new Float64Array(size);
  const weftHeightMm = state.weftHeight.slice();
  // Reflected threads at the border stand for half a thread of the cloth.
  const share = (n: number, count: number) =>
    problem.boundary === 'mirrored' && count > 1 && (n === 0 || n === count - 1) ? 0.5 : 1;
  let sum = 0;
  let weight = 0;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      const k = levelOfRow[j] * ends + i;
      warpHeightMm[at] = state.warpHeight[k];
      warpSlope[at] = warpSlopes[k];
      if (gap[at] === 0) continue;
      const part = share(levelOfRow[j], levels) * share(i, ends);
      weight += part;
      sum += 0.5 * part * (warpHeightMm[at] + weftHeightMm[at]);
    }
  }
  const middle = sum / weight;
  for (let at = 0; at < size; at++) {
    warpHeightMm[at] -= middle;
    weftHeightMm[at] -= middle;
  }
  for (let j = 0; j < rows; j++) {
    const first = j * ends + problem.rowFirst[j];
    const last = j * ends + problem.rowLast[j];
    weftHeightMm.fill(weftHeightMm[first], j * ends, first);
    weftHeightMm.fill(weftHeightMm[last], last + 1, (j + 1) * ends);
    weftSlope.fill(0, j * ends, first);
    weftSlope.fill(0, last + 1, (j + 1) * ends);
  }
  projectContacts(grid, state, 1, penalty, penalty);
  return {
    rows,
    ends,
    warpHeightMm,
    warpSlope,
    weftHeightMm,
    weftSlope,
    warpWrapStartMm: new Float64Array(size),
    warpWrapEndMm: new Float64Array(size),
    weftWrapStartMm: new Float64Array(size),
    weftWrapEndMm: new Float64Array(size),
    contactForceN: contactForces(grid, state, penalty),
    holdLoad,
    residuals,
  };
}
