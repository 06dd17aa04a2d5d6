import { inBands } from '#engine/cloth/pauses.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import { gatherRow, type LevelHold, lineOfLevel, solveHold } from './levelHold.ts';
import type { SplittingState } from './splitting.ts';

/** pull += toPull·hold and shadow += toShadow·hold at the ends `from`..`to` of a row, by `hold.line`. */
function shiftRow(
  hold: LevelHold,
  pull: Float64Array,
  shadow: Float64Array,
  offset: number,
  from: number,
  to: number,
  toPull: number,
  toShadow: number,
): void {
  const { line, x } = hold;
  const { cell, part, start } = x;
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

function shiftRows(
  grid: CrossingGrid,
  state: SplittingState,
  toPull: number,
  toShadow: number,
  fromRow: number,
  toRow: number,
): void {
  const { ends, rowFirst, rowLast, levelOfRow, hold } = grid;
  for (let j = fromRow; j < toRow; j++) {
    const level = levelOfRow[j];
    lineOfLevel(hold, level);
    if (j === 0 || level !== levelOfRow[j - 1])
      shiftRow(hold, state.warpPull, state.warpShadow, level * ends, 0, ends - 1, toPull, toShadow);
    shiftRow(hold, state.weftPull, state.weftShadow, j * ends, rowFirst[j], rowLast[j], toPull, toShadow);
  }
}

/**
 * After the projection onto contacts, which has gathered the mid-surface's sums in the coefficients: takes the hold's
 * part out of it (z ← z − hold, u ← u + hold).
 * @param keep penalty over next penalty, as the projection has already applied to u
 */
export function* holdFlat(grid: CrossingGrid, state: SplittingState, keep: number): Generator<void, void> {
  solveHold(grid.hold);
  yield* inBands(grid.rows, grid.ends, (from, to) => shiftRows(grid, state, -1 - keep, keep - 1, from, to));
}

/**
 * The load that the hold presses with, fitted to the force that the beams leave over at each crossing: coefficients per
 * unit of stiffness scale, in `hold.coefficient`.
 */
export function* fitLoad(grid: CrossingGrid, state: SplittingState, penalty: number): Generator<void, void> {
  const { ends, rows, levels, warp, weft, rowFirst, rowLast, levelOfRow, bareWarpNodes, hold } = grid;
  const { warpPull, warpHeight, weftPull, weftHeight } = state;
  hold.coefficient.fill(0);
  const minus = -penalty;
  yield* inBands(levels, ends, (from, to) => {
    for (let k = from; k < to; k++)
      gatherRow(hold, k, warp.scale, 1, warpPull, warpHeight, penalty, minus, k * ends, 0, ends - 1);
  });
  for (let b = 0; b < bareWarpNodes.length; b++) {
    const i = bareWarpNodes[b] % ends;
    const offset = bareWarpNodes[b] - i;
    gatherRow(hold, offset / ends, warp.scale, -1, warpPull, warpHeight, penalty, minus, offset, i, i);
  }
  yield* inBands(rows, ends, (from, to) => {
    for (let j = from; j < to; j++) {
      const scale = weft.scale[j];
      const level = levelOfRow[j];
      gatherRow(hold, level, null, scale, weftPull, weftHeight, penalty, minus, j * ends, rowFirst[j], rowLast[j]);
    }
  });
  solveHold(hold);
}

/** Gives rows of a fresh state the load of an earlier one (coefficients already in the hold): u ← u − load/penalty. */
export function startWithLoad(
  grid: CrossingGrid,
  state: SplittingState,
  penalty: number,
  fromRow: number,
  toRow: number,
): void {
  shiftRows(grid, state, 1 / penalty, -1 / penalty, fromRow, toRow);
}
