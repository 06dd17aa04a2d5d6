import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { layersOf } from '#engine/weave/layers.ts';
import type { ClothSide, CutAlongLine } from './afterTypes.ts';
import { floatsOf } from './clipFloats.ts';
import {
  type CutLine,
  crossingsOf,
  drawnLine,
  isInside,
  type PointMm,
  partingLine,
  pickPositions,
  pointsOf,
} from './cutLine.ts';
import type { ThreadCuts, ThreadPiece } from './threadCuts.ts';
import type { ThreadGrid } from './threadGrid.ts';

/** How many cuts were made, and of what a cut through leaves, whether a thread may have lost its hold. */
export interface CutMade {
  readonly cuts: number;
  /** The edge that was made, and which threads may fray along it. */
  readonly edge?: { readonly line: CutLine; readonly frays: (warp: boolean, thread: number) => boolean };
  readonly nothing?: 'noFloats' | 'oneLayer' | 'offTheCloth';
}

/** Cuts along a line as it is drawn over the face. */
export function cutAlong(cuts: ThreadCuts, cut: CutAlongLine): CutMade {
  const { grid } = cuts;
  const { endXMm, rowYMm } = grid.geometry;
  const points = pointsOf(cut.line, endXMm, pickPositions(grid.problem.rowPick, rowYMm));
  const closed = cut.closed === true;
  if (cut.what === 'floats') return cutFloats(cuts, drawnLine(points, closed), cut.side ?? 'face', cut.atLeast ?? 2);
  if (cut.what === 'layer') return cutLayer(cuts, points, closed, cut.side ?? 'face');
  const reach = 2 * (endXMm[grid.ends - 1] - endXMm[0] + rowYMm[grid.rows - 1] - rowYMm[0]) + farthest(points);
  const line = closed ? drawnLine(points, true) : partingLine(points, reach);
  const keepsInside = cut.keep === 'inside' || cut.keep === 'left';
  let made = 0;
  for (const warp of [true, false]) {
    for (let thread = 0; thread < grid.threads(warp); thread++) {
      made += trim(cuts, warp, thread, line, (x, y) => isInside(line, x, y) === keepsInside);
    }
  }
  return made > 0 ? { cuts: made, edge: { line, frays: () => true } } : { cuts: 0, nothing: 'offTheCloth' };
}

function farthest(points: readonly PointMm[]): number {
  return Math.max(...points.map(({ x, y }) => Math.hypot(x, y)));
}

/** The crossing before a place on a thread, where the thread runs on to another after it; −1 beyond its ends. */
function crossingBefore(grid: ThreadGrid, warp: boolean, thread: number, placeMm: number): number {
  const [first, last] = grid.span(warp, thread);
  if (placeMm <= grid.placeMm(warp, first) || placeMm >= grid.placeMm(warp, last)) return -1;
  let lo = first;
  let hi = last;
  while (hi - lo > 1) {
    const middle = (lo + hi) >> 1;
    if (grid.placeMm(warp, middle) <= placeMm) lo = middle;
    else hi = middle;
  }
  return lo;
}

function cutFloats(cuts: ThreadCuts, line: CutLine, side: ClothSide, atLeast: number): CutMade {
  const { grid } = cuts;
  let made = 0;
  for (const warp of [true, false]) {
    for (let thread = 0; thread < grid.threads(warp); thread++) {
      const crossed = crossingsOf(line, warp, grid.sideMm(warp, thread));
      if (crossed.length === 0) continue;
      const runs = floatsOf(grid, warp, thread, side);
      for (const placeMm of crossed) {
        const crossing = crossingBefore(grid, warp, thread, placeMm);
        const run = runs.find(({ before, after }) => crossing >= before && crossing < after);
        if (!run || run.length < atLeast || cuts.isGone(warp, thread, crossing)) continue;
        cuts.cutAt(warp, thread, crossing, placeMm);
        made++;
      }
    }
  }
  return made > 0 ? { cuts: made } : { cuts: 0, nothing: 'noFloats' };
}

/**
 * Threads each way, at least, that are looked at for layers: in fewer, floats alone would look like layers. No more than a line spans:
 * beside it blocks may change places.
 */
const LEAST_LOOKED_AT = 10;

/** Cuts the threads of the layer on a side: along an open line a slit; within a closed one they are taken away. */
function cutLayer(cuts: ThreadCuts, points: readonly PointMm[], closed: boolean, side: ClothSide): CutMade {
  const { grid } = cuts;
  const { endXMm, rowYMm } = grid.geometry;
  const about = (positions: ArrayLike<number>, values: readonly number[]): [number, number] => {
    const [low, high] = [Math.min(...values), Math.max(...values)];
    const all = Array.from(positions);
    const from = all.findIndex((place) => place >= low);
    const to = all.findLastIndex((place) => place <= high);
    const first = from < 0 ? all.length : from;
    const more = Math.max(0, Math.ceil((LEAST_LOOKED_AT - (to - first + 1)) / 2));
    return [Math.max(0, first - more), Math.min(all.length - 1, to + more)];
  };
  const [e0, e1] = about(
    endXMm,
    points.map(({ x }) => x),
  );
  const [r0, r1] = about(
    rowYMm,
    points.map(({ y }) => y),
  );
  if (e1 < e0 || r1 < r0) return { cuts: 0, nothing: 'offTheCloth' };
  const layers = layersOf(partOf(grid.problem.drawdown, r0, r1, e0, e1));
  if (layers.count < 2) return { cuts: 0, nothing: 'oneLayer' };
  const wanted = side === 'face' ? 0 : layers.count - 1;
  const line = drawnLine(points, closed);
  const frays = (warp: boolean, thread: number) => {
    const first = warp ? e0 : r0;
    return (warp ? layers.endLayer : layers.pickLayer)[thread - first] === wanted;
  };
  let made = 0;
  for (const warp of [true, false]) {
    const [from, to] = warp ? [e0, e1] : [r0, r1];
    for (let thread = from; thread <= to; thread++) {
      if (!frays(warp, thread)) continue;
      if (closed) made += trim(cuts, warp, thread, line, (x, y) => !isInside(line, x, y));
      else made += slit(cuts, warp, thread, line);
    }
  }
  return made > 0 ? { cuts: made, edge: { line, frays } } : { cuts: 0, nothing: 'offTheCloth' };
}

function partOf(drawdown: Drawdown, r0: number, r1: number, e0: number, e1: number): Drawdown {
  const part = createDrawdown(r1 - r0 + 1, e1 - e0 + 1);
  for (let row = r0; row <= r1; row++) {
    for (let end = e0; end <= e1; end++) setWarpUp(part, row - r0, end - e0, isWarpUp(drawdown, row, end));
  }
  return part;
}

/** Cuts a thread wherever it crosses the line. */
function slit(cuts: ThreadCuts, warp: boolean, thread: number, line: CutLine): number {
  let made = 0;
  for (const placeMm of crossingsOf(line, warp, cuts.grid.sideMm(warp, thread))) {
    const crossing = crossingBefore(cuts.grid, warp, thread, placeMm);
    if (crossing < 0 || cuts.isGone(warp, thread, crossing)) continue;
    cuts.cutAt(warp, thread, crossing, placeMm);
    made++;
  }
  return made;
}

/** Takes away what of a thread does not stay, and cuts it where the line crosses it. */
function trim(
  cuts: ThreadCuts,
  warp: boolean,
  thread: number,
  line: CutLine,
  stays: (x: number, y: number) => boolean,
): number {
  const { grid } = cuts;
  const side = grid.sideMm(warp, thread);
  const here = (crossing: number) => {
    const along = grid.placeMm(warp, crossing);
    return warp ? stays(side, along) : stays(along, side);
  };
  const crossed = crossingsOf(line, warp, side);
  const [first, last] = grid.span(warp, thread);
  let made = 0;
  let before = here(first);
  let gone: ThreadPiece | undefined = before ? undefined : { warp, thread, first, last: first };
  for (let crossing = first + 1; crossing <= last; crossing++) {
    const now = here(crossing);
    if (now !== before) {
      const from = grid.placeMm(warp, crossing - 1);
      const to = grid.placeMm(warp, crossing);
      const placeMm = crossed.find((place) => place >= from && place <= to) ?? (from + to) / 2;
      cuts.cutAt(warp, thread, crossing - 1, placeMm);
      made++;
      if (gone) cuts.drop(gone);
      gone = now ? undefined : { warp, thread, first: crossing, last: crossing };
    } else if (gone) gone = { ...gone, last: crossing };
    before = now;
  }
  if (gone) {
    cuts.drop(gone);
    // A thread that lies wholly outside was cut nowhere, but is gone all the same.
    if (made === 0) made = 1;
  }
  return made;
}
