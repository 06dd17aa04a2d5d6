import type { ClothGeometry, ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { MAX_REACH, TILE_CELLS, TILE_TEXELS, TileBits } from './clothBufferLayout.ts';
import { createSegmentNodes, range, segmentRange } from './curveBounds.ts';
import type { ClothExtras } from './extraTubes.ts';
import type { ClothBounds } from './packedCloth.ts';
import type { HairInCloth } from './packHair.ts';
import { type ClothLines, rowAtLine } from './packLines.ts';
import { createTable } from './packTables.ts';
import { type ThreadSizes, threadSizes } from './threadSizes.ts';
import { TileExtras } from './tileExtras.ts';
import { type PartReach, ThreadRanges, TileReach } from './tileReach.ts';

export interface PackedTiles {
  readonly tilesAcross: number;
  readonly tilesUp: number;
  readonly tileTable: Float32Array;
  readonly extraList: Float32Array;
  readonly bounds: ClothBounds;
  readonly warnings: string[];
}

/** Threads as they lie in the plan, and how thick they are. */
export interface TiledThreads {
  readonly problem: ClothProblem;
  readonly geometry: ClothGeometry;
  readonly lines: ClothLines;
  readonly hairs: HairInCloth;
  readonly warpStraight: boolean;
  readonly weftStraight: boolean;
}

/** The first line after `line` with which a row of tiles begins. */
export function nextTileLine(line: number): number {
  return firstOfNextTile(line);
}

/**
 * Per 8 × 8 cells: how far to look, which heights to look at, which extras to meet. Cell -1 (outside) is column 0.
 * Yields its share done every `linesPerStep` lines.
 * @param found where others have looked at the threads already: all that they found
 */
export function* packTiles(
  threads: TiledThreads,
  extras: ClothExtras,
  linesPerStep: number,
  found?: TileReach,
): Generator<number, PackedTiles> {
  const tiler = new Tiler(threads, found);
  if (!found) {
    const { problem, lines } = threads;
    // Whole tiles a step, as where they are parted among others: it comes out the same.
    const after = (line: number) => nextTileLine(line + linesPerStep - 1);
    for (let line = 0; line + 1 < lines.count; line = after(line)) {
      tiler.addWarp(line, Math.min(lines.count - 1, after(line)));
      yield (0.5 * line) / lines.count;
    }
    for (let row = 0; row < problem.rows; row += linesPerStep) {
      tiler.addWeft(row, Math.min(problem.rows, row + linesPerStep));
      yield 0.5 + (0.5 * row) / problem.rows;
    }
  }
  return tiler.finish(extras);
}

/** No tile reached yet. */
export function noneReached({ geometry, lines }: Pick<TiledThreads, 'geometry' | 'lines'>): TileReach {
  return new TileReach(Float64Array.from(geometry.endXMm), lines.yMm);
}

/** What warp from lines from .. to − 1 and rows from .. to − 1 say of the tiles, where every line is a row. */
export function reachOfRows(threads: TiledThreads, from: number, to: number): PartReach {
  const tiler = new Tiler(threads);
  tiler.addWarp(from, Math.min(to, threads.lines.count - 1));
  tiler.addWeft(from, to);
  return tiler.reach.reached();
}

const _segment = createSegmentNodes();

/** Takes the sideways range of the segment from node k0 to k1 into a thread's. */
function rangeSides(
  ranges: ThreadRanges,
  thread: number,
  f: CurveField,
  k0: number,
  k1: number,
  pitch: number,
  half: number,
  straight: boolean,
): void {
  const a0 = half * f.widthFactor[k0];
  const a1 = half * f.widthFactor[k1];
  if (straight) {
    range.hi = Math.max(a0, a1);
    range.lo = -range.hi;
  } else {
    _segment.v0 = f.offsetMm[k0];
    _segment.s0 = f.offsetSlope[k0];
    _segment.v1 = f.offsetMm[k1];
    _segment.s1 = f.offsetSlope[k1];
    _segment.pitchMm = pitch;
    _segment.wrapStart = 0;
    _segment.wrapEnd = 0;
    _segment.half0 = a0;
    _segment.half1 = a1;
    segmentRange(_segment);
  }
  if (range.lo < ranges.from[thread]) ranges.from[thread] = range.lo;
  if (range.hi > ranges.to[thread]) ranges.to[thread] = range.hi;
}

/** The same in height. */
function rangeHeights(
  ranges: ThreadRanges,
  thread: number,
  f: CurveField,
  k0: number,
  k1: number,
  pitch: number,
  half: number,
): void {
  _segment.v0 = f.heightMm[k0];
  _segment.s0 = f.slope[k0];
  _segment.v1 = f.heightMm[k1];
  _segment.s1 = f.slope[k1];
  _segment.pitchMm = pitch;
  _segment.wrapStart = f.wrapStartMm[k0];
  _segment.wrapEnd = f.wrapEndMm[k0];
  _segment.half0 = half * f.heightFactor[k0];
  _segment.half1 = half * f.heightFactor[k1];
  segmentRange(_segment);
  if (range.lo < ranges.lo[thread]) ranges.lo[thread] = range.lo;
  if (range.hi > ranges.hi[thread]) ranges.hi[thread] = range.hi;
}

/** The first cell of the tile after that of a cell, counted from 0 though tiles begin one cell outside the cloth. */
const firstOfNextTile = (cell: number): number => TILE_CELLS * (Math.floor((cell + 1) / TILE_CELLS) + 1) - 1;

class Tiler {
  readonly reach: TileReach;
  private readonly endX: Float64Array;
  private readonly endSize: ThreadSizes;
  private readonly rowSize: ThreadSizes;
  private readonly ranges: ThreadRanges;

  private readonly problem: ClothProblem;
  private readonly geometry: ClothGeometry;
  private readonly lines: ClothLines;

  constructor(
    private readonly threads: TiledThreads,
    found?: TileReach,
  ) {
    const { problem, geometry, lines, hairs } = threads;
    this.problem = problem;
    this.geometry = geometry;
    this.lines = lines;
    this.endX = Float64Array.from(geometry.endXMm);
    this.reach = found ?? new TileReach(this.endX, lines.yMm);
    this.endSize = threadSizes(problem, problem.endYarn, hairs);
    this.rowSize = threadSizes(problem, problem.rowYarn, hairs);
    this.ranges = new ThreadRanges(problem.ends);
  }

  /** Warp segments from each line fromLine .. toLine − 1 to the next: those of an end within a tile's lines together. */
  addWarp(fromLine: number, toLine: number): void {
    const { lines, reach, ranges } = this;
    const { hair, shading } = this.endSize;
    const { ends } = this.problem;
    for (let line = fromLine; line < toLine; ) {
      const first = line;
      const stop = Math.min(toLine, firstOfNextTile(line));
      ranges.clear();
      for (; line < stop; line++) this.rangeWarp(line, this.threads.warpStraight);
      for (let end = 0; end < ends; end++) {
        if (!ranges.empty(end)) reach.addWarp(end, first, ranges, end, hair[end], shading[end]);
      }
      // A cut cloth reaches as far as its threads do.
      if (!this.geometry.warp.gone) reach.grow(1, lines.yMm[first], lines.yMm[stop]);
    }
  }

  private rangeWarp(line: number, straight: boolean): void {
    const { problem, geometry, lines, reach, ranges } = this;
    const { halfWidth, halfHeight } = this.endSize;
    const { periodRows, periodEnds, warp } = geometry;
    const pitch = lines.yMm[line + 1] - lines.yMm[line];
    for (let end = 0, column = 0; end < problem.ends; end++) {
      const row0 = lines.sideBySide ? rowAtLine(problem, lines, line, end) : line;
      const row1 = lines.sideBySide ? rowAtLine(problem, lines, line + 1, end) : line + 1;
      const k0 = (row0 % periodRows) * periodEnds + column;
      const k1 = (row1 % periodRows) * periodEnds + column;
      if (++column === periodEnds) column = 0;
      if (warp.gone?.[k0] === 1) continue;
      rangeSides(ranges, end, warp, k0, k1, pitch, halfWidth[end], straight);
      rangeHeights(ranges, end, warp, k0, k1, pitch, halfHeight[end]);
      if (warp.gone) reach.grow(1, lines.yMm[line], lines.yMm[line + 1]);
    }
  }

  /** Weft segments of rows fromRow .. toRow − 1: those of a row within a tile's ends together. */
  addWeft(fromRow: number, toRow: number): void {
    const { weftStraight: straight } = this.threads;
    const { problem, geometry, lines, endX, reach, ranges } = this;
    const { periodRows, periodEnds, weft } = geometry;
    for (let row = fromRow; row < toRow; row++) {
      const rowStart = (row % periodRows) * periodEnds;
      const line = lines.lineOfRow[row];
      const halfWidth = this.rowSize.halfWidth[row];
      const halfHeight = this.rowSize.halfHeight[row];
      const hair = this.rowSize.hair[row];
      const shading = this.rowSize.shading[row];
      const lastEnd = problem.rowLast[row];
      for (let end = problem.rowFirst[row], column = end % periodEnds; end < lastEnd; ) {
        const first = end;
        const stop = Math.min(lastEnd, firstOfNextTile(end));
        ranges.clear(1);
        for (; end < stop; end++) {
          const pitch = endX[end + 1] - endX[end];
          const k0 = rowStart + column;
          if (++column === periodEnds) column = 0;
          if (weft.gone?.[k0] === 1) continue;
          rangeSides(ranges, 0, weft, k0, rowStart + column, pitch, halfWidth, straight);
          rangeHeights(ranges, 0, weft, k0, rowStart + column, pitch, halfHeight);
          if (weft.gone) reach.grow(0, endX[end], endX[end + 1]);
        }
        if (!ranges.empty(0)) reach.addWeft(first, line, ranges, 0, hair, shading);
      }
    }
    if (!weft.gone) reach.grow(0, endX[0], endX[problem.ends - 1]);
  }

  finish(extras: ClothExtras): PackedTiles {
    const { reach } = this;
    const ofTiles = new TileExtras();
    ofTiles.add(extras, this.endX, this.lines.yMm, reach);
    const { tilesAcross, tilesUp, zMin, zMax, hairs, beyondReach } = reach;
    const tiles = tilesAcross * tilesUp;
    const tileTable = createTable(tiles * TILE_TEXELS, 'tiles');
    const warnings: string[] = [];
    for (let tile = 0; tile < tiles; tile++) {
      const at = tile * TILE_TEXELS * 4;
      tileTable[at] =
        reach.reachEnds[tile] |
        (reach.reachLines[tile] << TileBits.reachLinesShift) |
        (reach.bodyReachEnds[tile] << TileBits.bodyEndsShift) |
        (reach.bodyReachLines[tile] << TileBits.bodyLinesShift) |
        ((ofTiles.has(tile) ? 1 : 0) << TileBits.extrasShift);
      tileTable[at + 1] = ofTiles.list(tile);
      const empty = zMin[tile] > zMax[tile];
      if (!empty) reach.grow(2, zMin[tile] - hairs[tile], zMax[tile] + hairs[tile]);
      tileTable[at + 2] = empty ? 1 : zMin[tile];
      tileTable[at + 3] = empty ? -1 : zMax[tile];
      tileTable[at + 4] = reach.marginEnds[tile];
      tileTable[at + 5] = reach.marginLines[tile];
      tileTable[at + 6] = hairs[tile];
      tileTable[at + 8] = reach.bodyEnds[tile];
      tileTable[at + 9] = reach.bodyLines[tile];
      tileTable[at + 10] = reach.shading[tile];
    }
    if (beyondReach > 0) {
      warnings.push(
        `${beyondReach} places where a thread lies more than ${MAX_REACH} pitches from its own: drawn cut off there`,
      );
    }
    if (ofTiles.dropped > 0) warnings.push(`${ofTiles.dropped} thread ends are too crowded to draw`);
    return {
      tilesAcross,
      tilesUp,
      tileTable,
      extraList: ofTiles.table(),
      bounds: { min: reach.min, max: reach.max },
      warnings,
    };
  }
}
