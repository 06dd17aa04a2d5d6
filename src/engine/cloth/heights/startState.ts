import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsSolution } from './heightsTypes.ts';
import { startWithLoad } from './holdFlat.ts';
import type { SplittingState } from './splitting.ts';

/** Every crossing just touching, the yielding thread of each pair taking the larger part of the crimp. */
export function startTouching(grid: CrossingGrid, state: SplittingState): void {
  const { rows, ends, levelOfRow, gap } = grid;
  for (let j = 0; j < rows; j++) {
    const stiffF = grid.weft.scale[j];
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      if (gap[at] === 0) continue;
      const k = levelOfRow[j] * ends + i;
      const share = stiffF / (stiffF + grid.warp.scale[i]);
      state.warpShadow[k] = state.warpPull[k] = gap[at] * share;
      state.weftShadow[at] = state.weftPull[at] = gap[at] * (share - 1);
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

/** Whether a solution is of the same extent and, nearly everywhere, of the same weave. */
export function canStartFrom(grid: CrossingGrid, earlier: HeightsSolution): boolean {
  if (earlier.rows !== grid.rows || earlier.ends !== grid.ends) return false;
  const { gap } = grid;
  let turned = 0;
  for (let at = 0; at < gap.length; at++)
    if (gap[at] * (earlier.warpHeightMm[at] - earlier.weftHeightMm[at]) < 0) turned++;
  return turned <= MOST_TURNED * grid.crossings;
}

/** Heights and forces of an earlier solution of the same extent; a crossing turned over starts without force. */
export function startFrom(grid: CrossingGrid, state: SplittingState, earlier: HeightsSolution, penalty: number): void {
  const { rows, ends, levelOfRow, gap } = grid;
  const level = balanceLevel(grid, earlier);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      const k = levelOfRow[j] * ends + i;
      const warp = earlier.warpHeightMm[at] - level;
      const weft = earlier.weftHeightMm[at] - level;
      if (gap[at] === 0) {
        // Else a row beside this one, on the same level, may have set the node already.
        if (state.warpShadow[k] === 0) state.warpShadow[k] = state.warpPull[k] = warp;
        continue;
      }
      const turned = gap[at] * (warp - weft) < 0;
      const force = turned ? 0 : (gap[at] > 0 ? 1 : -1) * earlier.contactForceN[at];
      const uw = -force / (penalty * grid.warp.scale[i]);
      const uf = force / (penalty * grid.weft.scale[j]);
      state.warpShadow[k] = warp + uw;
      state.warpPull[k] = warp - uw;
      state.weftShadow[at] = weft + uf;
      state.weftPull[at] = weft - uf;
    }
  }
  if (grid.hold.active && earlier.holdLoad.length === grid.hold.coefficient.length) {
    grid.hold.coefficient.set(earlier.holdLoad);
    startWithLoad(grid, state, penalty);
  }
}

/** Keeps the beams' heights of two moments and tells how far they moved between, as the largest share of D. */
export class ChangeMeter {
  private readonly warp: Float64Array;
  private readonly weft: Float64Array;
  private last = Infinity;
  /** Ratio of the last change to the one before; the error left is the sum of a geometric series with it. */
  private ratio = 1;

  constructor(state: SplittingState) {
    this.warp = new Float64Array(state.warpHeight.length);
    this.weft = new Float64Array(state.weftHeight.length);
  }

  /** Estimate of the error left, as a share of D. */
  estimateError(grid: CrossingGrid, state: SplittingState): number {
    const { rows, ends, levelOfRow, gap } = grid;
    const { warp, weft } = this;
    let worst = 0;
    for (let j = 0; j < rows; j++) {
      for (let i = 0; i < ends; i++) {
        const at = j * ends + i;
        const D = Math.abs(gap[at]);
        if (D === 0) continue;
        const k = levelOfRow[j] * ends + i;
        const moved = Math.max(Math.abs(state.warpHeight[k] - warp[k]), Math.abs(state.weftHeight[at] - weft[at]));
        if (moved > worst * D) worst = moved / D;
      }
    }
    warp.set(state.warpHeight);
    weft.set(state.weftHeight);
    const ratio = worst / this.last;
    // Two ratios, since a single lucky step would promise too much.
    const c = Math.min(0.97, Math.max(0.2, ratio, this.ratio));
    this.last = worst;
    this.ratio = ratio;
    return (worst * c) / (1 - c);
  }
}
