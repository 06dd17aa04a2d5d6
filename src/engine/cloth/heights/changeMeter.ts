import { inBands } from '#engine/cloth/pauses.ts';
import type { Scratch } from '#engine/cloth/scratch.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { SplittingState } from './splitting.ts';

/** Keeps the beams' heights of two moments and tells how far they moved between, as the largest share of D. */
export class ChangeMeter {
  private readonly warp: Float64Array;
  private readonly weft: Float64Array;
  private worst = 0;
  private last = Infinity;
  /** Ratio of the last change to the one before; the error left is the sum of a geometric series with it. */
  private ratio = 1;

  constructor(state: SplittingState, scratch: Scratch) {
    this.warp = scratch.take('earlierWarpHeight', state.warpHeight.length);
    this.weft = scratch.take('earlierWeftHeight', state.weftHeight.length);
  }

  /** Estimate of the error left, as a share of D. */
  *estimateError(grid: CrossingGrid, state: SplittingState): Generator<void, number> {
    this.worst = 0;
    yield* inBands(grid.rows, grid.ends, (from, to) => this.compareRows(grid, state, from, to));
    this.warp.set(state.warpHeight);
    this.weft.set(state.weftHeight);
    const ratio = this.worst / this.last;
    // Two ratios, since a single lucky step would promise too much.
    const c = Math.min(0.97, Math.max(0.2, ratio, this.ratio));
    this.last = this.worst;
    this.ratio = ratio;
    return (this.worst * c) / (1 - c);
  }

  private compareRows(grid: CrossingGrid, state: SplittingState, fromRow: number, toRow: number): void {
    const { ends, levelOfRow, gap } = grid;
    const { warp, weft } = this;
    const { warpHeight, weftHeight } = state;
    let worst = this.worst;
    for (let j = fromRow; j < toRow; j++) {
      for (let i = 0; i < ends; i++) {
        const at = j * ends + i;
        const D = Math.abs(gap[at]);
        if (D === 0) continue;
        const k = levelOfRow[j] * ends + i;
        const moved = Math.max(Math.abs(warpHeight[k] - warp[k]), Math.abs(weftHeight[at] - weft[at]));
        if (moved > worst * D) worst = moved / D;
      }
    }
    this.worst = worst;
  }
}

/** About as many crossings are watched in a preview. */
const WATCHED = 8_000;

/** Watches evenly chosen rows and tells which share of their heights still moves. */
export class Watch {
  private readonly everyRow: number;
  private readonly before: Float64Array;

  constructor(grid: CrossingGrid) {
    this.everyRow = Math.max(1, Math.round(grid.crossings / WATCHED));
    // An odd step falls in step with fewer weaves.
    if (this.everyRow % 2 === 0) this.everyRow++;
    this.before = new Float64Array(2 * grid.ends * Math.ceil(grid.rows / this.everyRow));
  }

  /** Share of the heights watched that have moved by more than `share` of D since the last look. */
  shareMoved(grid: CrossingGrid, state: SplittingState, share: number): number {
    const { rows, ends, levelOfRow, gap } = grid;
    const { before, everyRow } = this;
    let moved = 0;
    let seen = 0;
    for (let j = 0, n = 0; j < rows; j += everyRow) {
      for (let i = 0; i < ends; i++, n += 2) {
        const at = j * ends + i;
        if (gap[at] === 0) continue;
        const least = share * Math.abs(gap[at]);
        const warp = state.warpHeight[levelOfRow[j] * ends + i];
        const weft = state.weftHeight[at];
        seen += 2;
        if (Math.abs(warp - before[n]) > least) moved++;
        if (Math.abs(weft - before[n + 1]) > least) moved++;
        before[n] = warp;
        before[n + 1] = weft;
      }
    }
    return seen > 0 ? moved / seen : 0;
  }
}
