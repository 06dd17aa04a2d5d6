import type { CutMade } from './cutAlong.ts';
import type { CutLine } from './cutLine.ts';
import { cutPieces, dropUnheld, isHeld } from './fallOut.ts';
import type { ThreadCuts, ThreadPiece } from './threadCuts.ts';

/** What a raw edge loses by being handled a little (common practice: a thread or two). */
const USUAL_FRAY_MM = 1;

/** Crossings of a piece at which its distance from the edge is looked at. */
const MOST_LOOKS = 48;

/** Squared distance of a point from the line, and how far the line runs along x there, |cos|. */
function nearest({ pieces }: CutLine, x: number, y: number): { distance2: number; alongX: number } {
  let found = { distance2: Number.POSITIVE_INFINITY, alongX: 0 };
  for (const [a, b] of pieces) {
    const [dx, dy] = [b.x - a.x, b.y - a.y];
    const length2 = dx * dx + dy * dy || 1e-12;
    const share = Math.min(1, Math.max(0, ((x - a.x) * dx + (y - a.y) * dy) / length2));
    const distance2 = (x - a.x - share * dx) ** 2 + (y - a.y - share * dy) ** 2;
    if (distance2 < found.distance2) found = { distance2, alongX: Math.abs(dx) / Math.sqrt(length2) };
  }
  return found;
}

/** Whether a piece runs along the edge within reach of it for more than half of its crossings. */
function runsAlong(
  cuts: ThreadCuts,
  { warp, thread, first, last }: ThreadPiece,
  line: CutLine,
  frayMm: number,
): boolean {
  const { grid } = cuts;
  const side = grid.sideMm(warp, thread);
  const looks = Math.min(MOST_LOOKS, last - first + 1);
  let near = 0;
  for (let k = 0; k < looks; k++) {
    const crossing = first + Math.floor(((k + 0.5) * (last - first + 1)) / looks);
    const along = grid.placeMm(warp, crossing);
    const { distance2, alongX } = warp ? nearest(line, side, along) : nearest(line, along, side);
    // More along the thread than across it.
    const parallel = warp ? alongX < Math.SQRT1_2 : alongX > Math.SQRT1_2;
    if (parallel && distance2 < frayMm * frayMm) near++;
  }
  return 2 * near > looks;
}

/**
 * Lets a cut edge fray: pieces that run along it come out, and those that run into it stand out as a fringe, straight, since
 * nothing crosses them there. Returns how many pieces came out.
 */
export function frayEdge(cuts: ThreadCuts, { edge }: CutMade, frayMm = USUAL_FRAY_MM): number {
  if (!edge) return 0;
  const fraying: ThreadPiece[] = [];
  for (const warp of [true, false]) {
    for (let thread = 0; thread < cuts.grid.threads(warp); thread++) {
      if (!edge.frays(warp, thread)) continue;
      for (const piece of cuts.pieces(warp, thread)) {
        if (runsAlong(cuts, piece, edge.line, frayMm)) fraying.push(piece);
      }
    }
  }
  for (const piece of fraying) cuts.drop(piece);
  const fallen = fraying.length + dropUnheld(cuts);
  for (const piece of cutPieces(cuts)) standFree(cuts, piece);
  return fallen;
}

/** Ends a cut piece at its outermost crossings that are still held. */
function standFree(cuts: ThreadCuts, piece: ThreadPiece): void {
  const { warp, thread, first, last } = piece;
  const [from, to] = cuts.grid.span(warp, thread);
  let low = first;
  let high = last;
  if (first > from) while (low < last && !isHeld(cuts, warp, thread, low)) low++;
  if (last < to) while (high > low && !isHeld(cuts, warp, thread, high)) high--;
  if (high < last) cuts.letStand(piece, high, 1);
  if (low > first) cuts.letStand({ ...piece, last: high }, low, -1);
}
