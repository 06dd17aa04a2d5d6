import { inBands } from '#engine/cloth/pauses.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsSolution } from './heightsTypes.ts';
import { startWithLoad } from './holdFlat.ts';
import type { SplittingState } from './splitting.ts';

/** Every crossing just touching, the yielding thread of each pair taking the larger part of the crimp. */
export function startTouching(grid: CrossingGrid, state: SplittingState): Generator<void, void> {
  return inBands(grid.rows, grid.ends, (from, to) => touchRows(grid, state, from, to));
}

function touchRows(grid: CrossingGrid, state: SplittingState, fromRow: number, toRow: number): void {
  const { ends, levelOfRow, gap } = grid;
  const { warpShadow, warpPull, weftShadow, weftPull } = state;
  const endScale = grid.warp.scale;
  for (let j = fromRow; j < toRow; j++) {
    const stiffF = grid.weft.scale[j];
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      if (gap[at] === 0) continue;
      const k = levelOfRow[j] * ends + i;
      const share = stiffF / (stiffF + endScale[i]);
      warpShadow[k] = warpPull[k] = gap[at] * share;
      weftShadow[at] = weftPull[at] = gap[at] * (share - 1);
    }
  }
}

/**
 * Level about which the confinement of all threads balances. The solution counts heights from the mean mid-surface
 * instead; the difference is a shift of the whole, the slowest of all modes to find.
 */
function balanceLevel(grid: CrossingGrid, earlier: HeightsSolution): number {
  const { rows, ends, gap, warp, weft } = grid;
  let moment = 0;
  let weight = 0;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      if (gap[at] === 0) continue;
      moment += warp.scale[i] * earlier.warpHeightMm[at] + weft.scale[j] * earlier.weftHeightMm[at];
      weight += warp.scale[i] + weft.scale[j];
    }
  }
  return moment / weight;
}

/** Share of crossings that may lie the other way up before an earlier solution is of no use. */
const MOST_TURNED = 0.02;

/** How many crossings lie the other way up than in a solution of the same extent; Infinity where it is of no use. */
export function turnedSince(grid: CrossingGrid, earlier: HeightsSolution): number {
  if (earlier.rows !== grid.rows || earlier.ends !== grid.ends) return Infinity;
  const { gap } = grid;
  const { warpHeightMm, weftHeightMm } = earlier;
  let turned = 0;
  for (let at = 0; at < gap.length; at++) if (gap[at] * (warpHeightMm[at] - weftHeightMm[at]) < 0) turned++;
  return turned <= MOST_TURNED * grid.crossings ? turned : Infinity;
}

/**
 * Heights and forces of an earlier solution of the same extent. A crossing turned over starts without force, just
 * touching about the height at which it lay.
 */
export function* startFrom(
  grid: CrossingGrid,
  state: SplittingState,
  earlier: HeightsSolution,
  penalty: number,
): Generator<void, void> {
  const { rows, ends, hold } = grid;
  const level = balanceLevel(grid, earlier);
  yield;
  yield* inBands(rows, ends, (from, to) => startRows(grid, state, earlier, penalty, level, from, to));
  if (!hold.active || earlier.holdLoad.length !== hold.coefficient.length) return;
  hold.coefficient.set(earlier.holdLoad);
  yield* inBands(rows, ends, (from, to) => startWithLoad(grid, state, penalty, from, to));
}

function startRows(
  grid: CrossingGrid,
  state: SplittingState,
  earlier: HeightsSolution,
  penalty: number,
  level: number,
  fromRow: number,
  toRow: number,
): void {
  const { ends, levelOfRow, gap } = grid;
  const { warpShadow, warpPull, weftShadow, weftPull } = state;
  const { warpHeightMm, weftHeightMm, contactForceN } = earlier;
  const endScale = grid.warp.scale;
  for (let j = fromRow; j < toRow; j++) {
    const stiffF = grid.weft.scale[j];
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      const k = levelOfRow[j] * ends + i;
      const D = gap[at];
      let warp = warpHeightMm[at] - level;
      let weft = weftHeightMm[at] - level;
      if (D === 0) {
        // Else a row beside this one, on the same level, may have set the node already.
        if (warpShadow[k] === 0) warpShadow[k] = warpPull[k] = warp;
        continue;
      }
      const stiffW = endScale[i];
      let force = (D > 0 ? 1 : -1) * contactForceN[at];
      if (D * (warp - weft) < 0) {
        const share = stiffF / (stiffF + stiffW);
        const middle = (1 - share) * warp + share * weft;
        warp = middle + D * share;
        weft = warp - D;
        force = 0;
      }
      const uw = -force / (penalty * stiffW);
      const uf = force / (penalty * stiffF);
      warpShadow[k] = warp + uw;
      warpPull[k] = warp - uw;
      weftShadow[at] = weft + uf;
      weftPull[at] = weft - uf;
    }
  }
}
