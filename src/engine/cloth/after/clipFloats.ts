import type { ClipFloats, ClothPart, ClothSide } from './afterTypes.ts';
import type { ThreadCuts } from './threadCuts.ts';
import type { ThreadGrid } from './threadGrid.ts';

/** What scissors leave of a float by themselves, in the thread's own widths (common practice: close, but not at the knot). */
const LEFT_WIDTHS = 1.5;

/** A float: the crossings at either end of it at which the thread lies on the other side. */
export interface FloatRun {
  readonly before: number;
  readonly after: number;
  /** Crossings passed over. */
  readonly length: number;
}

/**
 * Floats of one thread on a side, held at both ends within the cloth. Rows that do not pass an end are passed over without
 * being counted.
 */
export function floatsOf(grid: ThreadGrid, warp: boolean, thread: number, side: ClothSide): FloatRun[] {
  const [first, last] = grid.span(warp, thread);
  const on = side === 'face' ? 1 : 0;
  const found: FloatRun[] = [];
  let before = -1;
  let length = 0;
  for (let crossing = first; crossing <= last; crossing++) {
    const lift = grid.lift(warp, thread, crossing);
    if (lift === on) length++;
    else if (lift >= 0) {
      if (length > 0 && before >= 0) found.push({ before, after: crossing, length });
      before = crossing;
      length = 0;
    }
  }
  return found;
}

/** Whether a float lies wholly within a part of the cloth. */
function isWithin(grid: ThreadGrid, warp: boolean, thread: number, run: FloatRun, part: ClothPart): boolean {
  const { fromEnd = 1, toEnd = Infinity, fromPick = 1, toPick = Infinity } = part;
  const pickOf = (crossing: number) => grid.problem.rowPick[warp ? grid.rowAt(crossing, thread) : thread] + 1;
  const ends = warp ? [thread + 1, thread + 1] : [run.before + 2, run.after];
  const picks = warp ? [pickOf(run.before + 1), pickOf(run.after - 1)] : [pickOf(0), pickOf(0)];
  return ends[0] >= fromEnd && ends[1] <= toEnd && picks[0] >= fromPick && picks[1] <= toPick;
}

/** Clips the floats. Returns how many. */
export function clipFloats(cuts: ThreadCuts, { side, threads, atLeast, leaveMm, part = {} }: ClipFloats): number {
  const { grid } = cuts;
  let clipped = 0;
  for (const warp of [true, false]) {
    if (threads === (warp ? 'weft' : 'warp')) continue;
    for (let thread = 0; thread < grid.threads(warp); thread++) {
      const yarn = grid.problem.yarns[grid.yarn(warp, thread)];
      for (const run of floatsOf(grid, warp, thread, side)) {
        if (run.length < atLeast || !isWithin(grid, warp, thread, run, part)) continue;
        if (cuts.isGone(warp, thread, run.before) || cuts.isGone(warp, thread, run.after - 1)) continue;
        const span = grid.placeMm(warp, run.after) - grid.placeMm(warp, run.before);
        const left = Math.min(leaveMm ?? LEFT_WIDTHS * yarn.bodyWidthMm, span / 2);
        cuts.takeOut(warp, thread, run.before, run.after, left, left);
        clipped++;
      }
    }
  }
  return clipped;
}
