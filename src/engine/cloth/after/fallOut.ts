import type { ThreadCuts, ThreadPiece } from './threadCuts.ts';

/** A piece of thread that changes side less often than this is held by nothing and slips out at the edge (common practice). */
const LEAST_CHANGES = 2;
/** One that changes side less often than this stays, but slips as the cloth is handled (estimate). */
const FIRM_CHANGES = 4;
/** What falls out loosens what crossed it; so often is it looked for anew. */
const PASSES = 3;

/** Whether the thread that crosses another at a place is still there. */
export function isHeld(cuts: ThreadCuts, warp: boolean, thread: number, crossing: number): boolean {
  const { grid } = cuts;
  return warp
    ? cuts.isHere(false, grid.rowAt(crossing, thread), thread)
    : cuts.isHere(true, crossing, grid.lineOfRow[thread]);
}

/** How often a piece passes from one side of the cloth to the other, at threads that are still there. */
function changesOf(cuts: ThreadCuts, { warp, thread, first, last }: ThreadPiece): number {
  const { grid } = cuts;
  let changes = 0;
  let before = -1;
  for (let crossing = first; crossing <= last; crossing++) {
    const lift = grid.lift(warp, thread, crossing);
    if (lift < 0) continue;
    if (!isHeld(cuts, warp, thread, crossing)) continue;
    if (before >= 0 && lift !== before) changes++;
    before = lift;
  }
  return changes;
}

/** Pieces that a cut has left: those of threads that are not whole. */
export function cutPieces(cuts: ThreadCuts): ThreadPiece[] {
  const { grid } = cuts;
  const found: ThreadPiece[] = [];
  for (const warp of [true, false]) {
    for (let thread = 0; thread < grid.threads(warp); thread++) {
      const [first, last] = grid.span(warp, thread);
      for (const piece of cuts.pieces(warp, thread)) {
        if (piece.first > first || piece.last < last) found.push(piece);
      }
    }
  }
  return found;
}

/** Takes away what nothing holds any more. Returns how many pieces fell out. */
export function dropUnheld(cuts: ThreadCuts): number {
  let fallen = 0;
  for (let pass = 0; pass < PASSES; pass++) {
    const falling = cutPieces(cuts).filter((piece) => changesOf(cuts, piece) < LEAST_CHANGES);
    for (const piece of falling) cuts.drop(piece);
    fallen += falling.length;
    if (falling.length === 0) break;
  }
  return fallen;
}

/** Pieces that stay but are held by few crossings. */
export function looseCount(cuts: ThreadCuts): number {
  return cutPieces(cuts).filter((piece) => changesOf(cuts, piece) < FIRM_CHANGES).length;
}
