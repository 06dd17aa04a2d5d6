import type { CrossingGrid } from './crossingGrid.ts';
import { gatherThread, type HoldAxis, type LevelHold, lineOfThread, solveHold } from './levelHold.ts';
import type { SplittingState } from './splitting.ts';

/** Coefficients of the weighted mid-surface of α·a + β·b, fields of warp and weft nodes, in `hold.coefficient`. */
function fitHold(
  grid: CrossingGrid,
  hold: LevelHold,
  warpA: Float64Array,
  warpB: Float64Array,
  weftA: Float64Array,
  weftB: Float64Array,
  alpha: number,
  beta: number,
): void {
  const { ends, rows, levels, warp, weft, rowFirst, rowLast, levelOfRow, bareWarpNodes } = grid;
  const { x, y, coefficient } = hold;
  coefficient.fill(0);
  for (let i = 0; i < ends; i++)
    gatherThread(hold, x, y, 1, x.nodes, i, warp.scale[i], warpA, warpB, alpha, beta, i * levels, 0, levels - 1);
  for (let b = 0; b < bareWarpNodes.length; b++) {
    const k = bareWarpNodes[b];
    const i = Math.floor(k / levels);
    const node = k - i * levels;
    gatherThread(hold, x, y, 1, x.nodes, i, -warp.scale[i], warpA, warpB, alpha, beta, i * levels, node, node);
  }
  for (let j = 0; j < rows; j++) {
    const level = levelOfRow[j];
    gatherThread(
      hold,
      y,
      x,
      x.nodes,
      1,
      level,
      weft.scale[j],
      weftA,
      weftB,
      alpha,
      beta,
      j * ends,
      rowFirst[j],
      rowLast[j],
    );
  }
  solveHold(hold);
}

/** pull += toPull·hold and shadow += toShadow·hold at the nodes `from`..`to` of one thread, by `hold.line`. */
function shiftThread(
  hold: LevelHold,
  along: HoldAxis,
  pull: Float64Array,
  shadow: Float64Array,
  offset: number,
  from: number,
  to: number,
  toPull: number,
  toShadow: number,
): void {
  const { line } = hold;
  const { cell, part, start } = along;
  for (let c = cell[from]; c <= cell[to]; c++) {
    const stop = Math.min(to + 1, start[c + 1]);
    const first = Math.max(from, start[c]);
    const near = line[c];
    const rise = line[c + 1] - near;
    for (let k = first; k < stop; k++) pull[offset + k] += toPull * (near + rise * part[k]);
    if (toShadow === 0) continue;
    for (let k = first; k < stop; k++) shadow[offset + k] += toShadow * (near + rise * part[k]);
  }
}

function shiftAll(grid: CrossingGrid, state: SplittingState, hold: LevelHold, toPull: number, toShadow: number): void {
  const { ends, rows, levels, rowFirst, rowLast, levelOfRow } = grid;
  const { x, y } = hold;
  for (let i = 0; i < ends; i++) {
    lineOfThread(hold, x, y, 1, x.nodes, i);
    shiftThread(hold, y, state.warpPull, state.warpShadow, i * levels, 0, levels - 1, toPull, toShadow);
  }
  for (let j = 0; j < rows; j++) {
    lineOfThread(hold, y, x, x.nodes, 1, levelOfRow[j]);
    shiftThread(hold, x, state.weftPull, state.weftShadow, j * ends, rowFirst[j], rowLast[j], toPull, toShadow);
  }
}

/**
 * After the projection onto contacts, which has gathered the mid-surface's sums in the coefficients: takes the hold's
 * part out of it (z ← z − hold, u ← u + hold).
 * @param keep penalty over next penalty, as the projection has already applied to u
 */
export function holdFlat(grid: CrossingGrid, state: SplittingState, hold: LevelHold, keep: number): void {
  solveHold(hold);
  shiftAll(grid, state, hold, -1 - keep, keep - 1);
}

/** The load that the hold presses with, fitted to what the beams leave over: per unit of stiffness scale, N/mm of it. */
export function fitLoad(grid: CrossingGrid, state: SplittingState, hold: LevelHold, penalty: number): void {
  const { warpPull, warpHeight, weftPull, weftHeight } = state;
  fitHold(grid, hold, warpPull, warpHeight, weftPull, weftHeight, penalty, -penalty);
}

/** Gives a fresh state the load of an earlier one (coefficients already in `hold`): u ← u − load/penalty. */
export function startWithLoad(grid: CrossingGrid, state: SplittingState, hold: LevelHold, penalty: number): void {
  shiftAll(grid, state, hold, 1 / penalty, -1 / penalty);
}
