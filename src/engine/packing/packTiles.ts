import type { ClothGeometry, ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import type { ClothExtras } from './buildExtras.ts';
import { EXTRA_TEXELS, MAX_REACH, MAX_TILE_EXTRAS, TILE_CELLS, TILE_TEXELS, TileBits } from './clothBufferLayout.ts';
import { range, segmentRange } from './curveBounds.ts';
import type { ClothBounds } from './packedCloth.ts';
import { type ClothLines, rowAtLine } from './packLines.ts';
import { createTable } from './packTables.ts';
import { cellAt, type ThreadSizes, threadSizes } from './threadSizes.ts';

export interface PackedTiles {
  readonly tilesAcross: number;
  readonly tilesUp: number;
  readonly tileTable: Float32Array;
  readonly extraList: Float32Array;
  readonly bounds: ClothBounds;
  readonly warnings: string[];
}

/**
 * Per 8 × 8 cells: how far to look, which heights to look at, which extras to meet. Cell -1 (outside) is column 0.
 * Yields its share done every `linesPerStep` lines.
 */
export function* packTiles(
  problem: ClothProblem,
  geometry: ClothGeometry,
  lines: ClothLines,
  extras: ClothExtras,
  warpStraight: boolean,
  weftStraight: boolean,
  linesPerStep: number,
): Generator<number, PackedTiles> {
  const tiler = new Tiler(problem, geometry, lines);
  for (let line = 0; line + 1 < lines.count; line += linesPerStep) {
    tiler.addWarp(line, Math.min(lines.count - 1, line + linesPerStep), warpStraight);
    yield (0.5 * line) / lines.count;
  }
  for (let row = 0; row < problem.rows; row += linesPerStep) {
    tiler.addWeft(row, Math.min(problem.rows, row + linesPerStep), weftStraight);
    yield 0.5 + (0.5 * row) / problem.rows;
  }
  tiler.addExtras(extras);
  return tiler.finish();
}

/** Extras that reach a tile, and a bit a cell (sixteen to a number) where any of them does. */
interface TileExtras {
  readonly list: number[];
  readonly cells: number[];
}

const NO_EXTRAS: TileExtras = { list: [], cells: [0, 0, 0, 0] };

const TILE_SHIFT = Math.log2(TILE_CELLS);

/** Sideways range of a segment about its thread's line. */
const _side = { lo: 0, hi: 0 };

class Tiler {
  private readonly tilesAcross: number;
  private readonly tilesUp: number;
  private readonly reachEnds: Uint8Array;
  private readonly reachLines: Uint8Array;
  private readonly marginEnds: Float32Array;
  private readonly marginLines: Float32Array;
  private readonly zMin: Float32Array;
  private readonly zMax: Float32Array;
  private readonly extrasOfTile: Map<number, TileExtras> = new Map();
  private readonly min: [number, number, number] = [Infinity, Infinity, Infinity];
  private readonly max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  private beyondReach = 0;
  private readonly endX: Float64Array;
  private readonly endSize: ThreadSizes;
  private readonly rowSize: ThreadSizes;

  constructor(
    private readonly problem: ClothProblem,
    private readonly geometry: ClothGeometry,
    private readonly lines: ClothLines,
  ) {
    this.tilesAcross = Math.ceil((problem.ends + 1) / TILE_CELLS);
    this.tilesUp = Math.ceil((lines.count + 1) / TILE_CELLS);
    const tiles = this.tilesAcross * this.tilesUp;
    this.reachEnds = new Uint8Array(tiles);
    this.reachLines = new Uint8Array(tiles);
    this.marginEnds = new Float32Array(tiles);
    this.marginLines = new Float32Array(tiles);
    this.zMin = new Float32Array(tiles).fill(Infinity);
    this.zMax = new Float32Array(tiles).fill(-Infinity);
    this.endX = Float64Array.from(geometry.endXMm);
    this.endSize = threadSizes(problem, problem.endYarn);
    this.rowSize = threadSizes(problem, problem.rowYarn);
  }

  /** Warp segments from each line fromLine .. toLine − 1 to the next. */
  addWarp(fromLine: number, toLine: number, straight: boolean): void {
    const { problem, geometry, lines, endX, endSize } = this;
    const { periodRows, periodEnds, warp } = geometry;
    for (let line = fromLine; line < toLine; line++) {
      const pitch = lines.yMm[line + 1] - lines.yMm[line];
      for (let end = 0, column = 0; end < problem.ends; end++) {
        const row0 = lines.sideBySide ? rowAtLine(problem, lines, line, end) : line;
        const row1 = lines.sideBySide ? rowAtLine(problem, lines, line + 1, end) : line + 1;
        const k0 = (row0 % periodRows) * periodEnds + column;
        const k1 = (row1 % periodRows) * periodEnds + column;
        if (++column === periodEnds) column = 0;
        this.segment(warp, k0, k1, pitch, endSize.halfWidth[end], endSize.halfHeight[end], straight);
        this.cover(end, endX, line, true);
      }
      this.grow(1, lines.yMm[line], lines.yMm[line + 1]);
    }
  }

  /** Weft segments of rows fromRow .. toRow − 1. */
  addWeft(fromRow: number, toRow: number, straight: boolean): void {
    const { problem, geometry, lines, endX, rowSize } = this;
    const { periodRows, periodEnds, weft } = geometry;
    for (let row = fromRow; row < toRow; row++) {
      const rowStart = (row % periodRows) * periodEnds;
      const line = lines.lineOfRow[row];
      const halfWidth = rowSize.halfWidth[row];
      const halfHeight = rowSize.halfHeight[row];
      const lastEnd = problem.rowLast[row];
      let column = problem.rowFirst[row] % periodEnds;
      for (let end = problem.rowFirst[row]; end < lastEnd; end++) {
        const k0 = rowStart + column;
        if (++column === periodEnds) column = 0;
        this.segment(weft, k0, rowStart + column, endX[end + 1] - endX[end], halfWidth, halfHeight, straight);
        this.cover(line, lines.yMm, end, false);
      }
    }
    this.grow(0, endX[0], endX[problem.ends - 1]);
  }

  /** Sideways and upward range of the segment from node k0 to k1, into `_side` and `range`. */
  private segment(f: CurveField, k0: number, k1: number, pitch: number, a: number, b: number, straight: boolean): void {
    const a0 = a * f.widthFactor[k0];
    const a1 = a * f.widthFactor[k1];
    if (straight) {
      _side.hi = Math.max(a0, a1);
      _side.lo = -_side.hi;
    } else {
      segmentRange(f.offsetMm[k0], f.offsetSlope[k0], f.offsetMm[k1], f.offsetSlope[k1], pitch, 0, 0, a0, a1);
      _side.lo = range.lo;
      _side.hi = range.hi;
    }
    segmentRange(
      f.heightMm[k0],
      f.slope[k0],
      f.heightMm[k1],
      f.slope[k1],
      pitch,
      f.wrapStartMm[k0],
      f.wrapEndMm[k0],
      b * f.heightFactor[k0],
      b * f.heightFactor[k1],
    );
  }

  /** Notes that thread `index` covers the range of its segment in the cell `alongCell` of the other axis. */
  private cover(index: number, positions: Float64Array, alongCell: number, warp: boolean) {
    const n = positions.length;
    const from = positions[index] + _side.lo;
    const to = positions[index] + _side.hi;
    const margin = Math.max(-_side.lo, _side.hi);
    const axis = warp ? 0 : 1;
    if (from < this.min[axis]) this.min[axis] = from;
    if (to > this.max[axis]) this.max[axis] = to;
    let first = index;
    while (first >= 0 && positions[first] > from) first--;
    let last = index;
    while (last + 1 < n && positions[last + 1] <= to) last++;
    for (let cell = first; cell <= last; cell++) {
      let need = index > cell ? index - cell : cell - index + 1;
      if (need > MAX_REACH) {
        this.beyondReach++;
        need = MAX_REACH;
      }
      this.note(warp ? this.tileOf(cell, alongCell) : this.tileOf(alongCell, cell), warp, need, margin);
    }
  }

  private note(tile: number, warp: boolean, need: number, margin: number): void {
    const reach = warp ? this.reachEnds : this.reachLines;
    const margins = warp ? this.marginEnds : this.marginLines;
    if (margin > margins[tile]) margins[tile] = margin;
    if (need > reach[tile]) reach[tile] = need;
    if (range.lo < this.zMin[tile]) this.zMin[tile] = range.lo;
    if (range.hi > this.zMax[tile]) this.zMax[tile] = range.hi;
  }

  private tileOf(cellX: number, cellY: number): number {
    return ((cellY + 1) >> TILE_SHIFT) * this.tilesAcross + ((cellX + 1) >> TILE_SHIFT);
  }

  private grow(axis: 0 | 1 | 2, lo: number, hi: number): void {
    if (lo < this.min[axis]) this.min[axis] = lo;
    if (hi > this.max[axis]) this.max[axis] = hi;
  }

  addExtras(extras: ClothExtras): void {
    const { data } = extras;
    const { endX } = this;
    for (let extra = 0; extra < extras.count; extra++) {
      const at = extra * EXTRA_TEXELS * 4;
      const half = data[at + 3];
      const halfHeight = half * data[at + 7];
      // The curve lies in the hull of its control points.
      const lo = [0, 1, 2].map((k) => Math.min(data[at + k], data[at + 4 + k], data[at + 8 + k]));
      const hi = [0, 1, 2].map((k) => Math.max(data[at + k], data[at + 4 + k], data[at + 8 + k]));
      const size = [half, half, halfHeight];
      for (const axis of [0, 1, 2] as const) this.grow(axis, lo[axis] - size[axis], hi[axis] + size[axis]);
      const x0 = cellAt(endX, lo[0] - half) + 1;
      const x1 = cellAt(endX, hi[0] + half) + 1;
      const y0 = cellAt(this.lines.yMm, lo[1] - half) + 1;
      const y1 = cellAt(this.lines.yMm, hi[1] + half) + 1;
      for (let y = y0; y <= y1; y++) {
        for (let x = x0; x <= x1; x++) this.addExtra(extra, x, y, lo[2] - halfHeight, hi[2] + halfHeight);
      }
    }
  }

  /** @param x,y cell, counted from the one outside the cloth */
  private addExtra(extra: number, x: number, y: number, zMin: number, zMax: number): void {
    const tile = Math.floor(y / TILE_CELLS) * this.tilesAcross + Math.floor(x / TILE_CELLS);
    let here = this.extrasOfTile.get(tile);
    if (!here) {
      here = { list: [], cells: [0, 0, 0, 0] };
      this.extrasOfTile.set(tile, here);
    }
    // Cells of one extra follow one another, so it is this tile's last if it is its own at all.
    if (here.list.at(-1) !== extra) here.list.push(extra);
    const cell = (y % TILE_CELLS) * TILE_CELLS + (x % TILE_CELLS);
    here.cells[cell >> 4] |= 1 << (cell & 15);
    this.zMin[tile] = Math.min(this.zMin[tile], zMin);
    this.zMax[tile] = Math.max(this.zMax[tile], zMax);
  }

  finish(): PackedTiles {
    const { tilesAcross, tilesUp } = this;
    const tiles = tilesAcross * tilesUp;
    const tileTable = createTable(tiles * TILE_TEXELS, 'tiles');
    const list: number[] = [];
    const warnings: string[] = [];
    let dropped = 0;
    for (let tile = 0; tile < tiles; tile++) {
      const { list: extras, cells } = this.extrasOfTile.get(tile) ?? NO_EXTRAS;
      const count = Math.min(extras.length, MAX_TILE_EXTRAS);
      dropped += extras.length - count;
      const at = tile * TILE_TEXELS * 4;
      tileTable[at] =
        this.reachEnds[tile] |
        (this.reachLines[tile] << TileBits.reachLinesShift) |
        (1 << TileBits.layersShift) |
        (count << TileBits.extraCountShift);
      tileTable[at + 1] = list.length;
      for (let k = 0; k < count; k++) list.push(extras[k]);
      const empty = this.zMin[tile] > this.zMax[tile];
      if (!empty) this.grow(2, this.zMin[tile], this.zMax[tile]);
      tileTable[at + 2] = empty ? 1 : this.zMin[tile];
      tileTable[at + 3] = empty ? -1 : this.zMax[tile];
      tileTable[at + 4] = this.marginEnds[tile];
      tileTable[at + 5] = this.marginLines[tile];
      tileTable.set(cells, at + 8);
    }
    if (this.beyondReach > 0) {
      warnings.push(
        `${this.beyondReach} places where a thread lies more than ${MAX_REACH} pitches from its own: drawn cut off there`,
      );
    }
    if (dropped > 0) warnings.push(`${dropped} thread ends are too crowded to draw`);
    const extraList = createTable(list.length, 'thread ends');
    list.forEach((extra, k) => {
      extraList[k * 4] = extra;
    });
    return { tilesAcross, tilesUp, tileTable, extraList, bounds: { min: this.min, max: this.max }, warnings };
  }
}
