import type { ClothGeometry, ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import type { ClothExtras } from './buildExtras.ts';
import { EXTRA_TEXELS, MAX_CELL_EXTRAS, MAX_REACH, TILE_CELLS, TILE_TEXELS, TileBits } from './clothBufferLayout.ts';
import { range, segmentRange } from './curveBounds.ts';
import type { ClothBounds } from './packedCloth.ts';
import { type ClothLines, rowAtLine } from './packLines.ts';
import { createTable } from './packTables.ts';
import { cellAt, type HairHeights, type ThreadSizes, threadSizes } from './threadSizes.ts';
import { TileReach } from './tileReach.ts';

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
  hairs: HairHeights,
  warpStraight: boolean,
  weftStraight: boolean,
  linesPerStep: number,
): Generator<number, PackedTiles> {
  const tiler = new Tiler(problem, geometry, lines, hairs);
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

/** Extras that reach each cell of a tile, row by row. */
type TileExtras = readonly number[][];

const CELLS_A_TILE = TILE_CELLS * TILE_CELLS;

/** Sideways range of a segment about its thread's line. */
const _side = { lo: 0, hi: 0 };

/** Sideways range of the segment from node k0 to k1, into `_side`. */
function segmentSides(f: CurveField, k0: number, k1: number, pitch: number, half: number, straight: boolean): void {
  const a0 = half * f.widthFactor[k0];
  const a1 = half * f.widthFactor[k1];
  if (straight) {
    _side.hi = Math.max(a0, a1);
    _side.lo = -_side.hi;
  } else {
    segmentRange(f.offsetMm[k0], f.offsetSlope[k0], f.offsetMm[k1], f.offsetSlope[k1], pitch, 0, 0, a0, a1);
    _side.lo = range.lo;
    _side.hi = range.hi;
  }
}

/** Range in height of the segment from node k0 to k1, into `range`. */
function segmentHeights(f: CurveField, k0: number, k1: number, pitch: number, half: number): void {
  const { heightMm, slope, wrapStartMm, wrapEndMm, heightFactor } = f;
  const h0 = half * heightFactor[k0];
  const h1 = half * heightFactor[k1];
  segmentRange(heightMm[k0], slope[k0], heightMm[k1], slope[k1], pitch, wrapStartMm[k0], wrapEndMm[k0], h0, h1);
}

/** Appends where each cell's extras begin in the list and how many they are, and then those; returns how many found no room. */
function listExtras(list: number[], cells: TileExtras): number {
  let next = list.length / 4 + CELLS_A_TILE;
  let dropped = 0;
  for (const extras of cells) {
    const count = Math.min(extras.length, MAX_CELL_EXTRAS);
    dropped += extras.length - count;
    list.push(next, count, 0, 0);
    next += count;
  }
  for (const extras of cells) for (const extra of extras.slice(0, MAX_CELL_EXTRAS)) list.push(extra, 0, 0, 0);
  return dropped;
}

class Tiler {
  private readonly reach: TileReach;
  private readonly extrasOfTile: Map<number, TileExtras> = new Map();
  private readonly endX: Float64Array;
  private readonly endSize: ThreadSizes;
  private readonly rowSize: ThreadSizes;

  constructor(
    private readonly problem: ClothProblem,
    private readonly geometry: ClothGeometry,
    private readonly lines: ClothLines,
    hairs: HairHeights,
  ) {
    this.endX = Float64Array.from(geometry.endXMm);
    this.reach = new TileReach(this.endX, lines.yMm);
    this.endSize = threadSizes(problem, problem.endYarn, hairs);
    this.rowSize = threadSizes(problem, problem.rowYarn, hairs);
  }

  /** Warp segments from each line fromLine .. toLine − 1 to the next. */
  addWarp(fromLine: number, toLine: number, straight: boolean): void {
    const { problem, geometry, lines, reach } = this;
    const { halfWidth, halfHeight, hair, shading } = this.endSize;
    const { periodRows, periodEnds, warp } = geometry;
    for (let line = fromLine; line < toLine; line++) {
      const pitch = lines.yMm[line + 1] - lines.yMm[line];
      for (let end = 0, column = 0; end < problem.ends; end++) {
        const row0 = lines.sideBySide ? rowAtLine(problem, lines, line, end) : line;
        const row1 = lines.sideBySide ? rowAtLine(problem, lines, line + 1, end) : line + 1;
        const k0 = (row0 % periodRows) * periodEnds + column;
        const k1 = (row1 % periodRows) * periodEnds + column;
        if (++column === periodEnds) column = 0;
        if (warp.gone?.[k0] === 1) continue;
        segmentSides(warp, k0, k1, pitch, halfWidth[end], straight);
        segmentHeights(warp, k0, k1, pitch, halfHeight[end]);
        reach.addWarp(end, line, _side.lo, _side.hi, range.lo, range.hi, hair[end], shading[end]);
        // A cut cloth reaches as far as its threads do.
        if (warp.gone) reach.grow(1, lines.yMm[line], lines.yMm[line + 1]);
      }
      if (!warp.gone) reach.grow(1, lines.yMm[line], lines.yMm[line + 1]);
    }
  }

  /** Weft segments of rows fromRow .. toRow − 1. */
  addWeft(fromRow: number, toRow: number, straight: boolean): void {
    const { problem, geometry, lines, endX, reach } = this;
    const { periodRows, periodEnds, weft } = geometry;
    for (let row = fromRow; row < toRow; row++) {
      const rowStart = (row % periodRows) * periodEnds;
      const line = lines.lineOfRow[row];
      const halfWidth = this.rowSize.halfWidth[row];
      const halfHeight = this.rowSize.halfHeight[row];
      const hair = this.rowSize.hair[row];
      const shading = this.rowSize.shading[row];
      const firstEnd = problem.rowFirst[row];
      const lastEnd = problem.rowLast[row];
      let column = firstEnd % periodEnds;
      for (let end = firstEnd; end < lastEnd; end++) {
        const pitch = endX[end + 1] - endX[end];
        const k0 = rowStart + column;
        if (++column === periodEnds) column = 0;
        if (weft.gone?.[k0] === 1) continue;
        segmentSides(weft, k0, rowStart + column, pitch, halfWidth, straight);
        segmentHeights(weft, k0, rowStart + column, pitch, halfHeight);
        reach.addWeft(end, line, _side.lo, _side.hi, range.lo, range.hi, hair, shading);
        if (weft.gone) reach.grow(0, endX[end], endX[end + 1]);
      }
    }
    if (!weft.gone) reach.grow(0, endX[0], endX[problem.ends - 1]);
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
      for (const axis of [0, 1, 2] as const) this.reach.grow(axis, lo[axis] - size[axis], hi[axis] + size[axis]);
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
    const tile = Math.floor(y / TILE_CELLS) * this.reach.tilesAcross + Math.floor(x / TILE_CELLS);
    let here = this.extrasOfTile.get(tile);
    if (!here) {
      here = Array.from({ length: CELLS_A_TILE }, () => []);
      this.extrasOfTile.set(tile, here);
    }
    here[(y % TILE_CELLS) * TILE_CELLS + (x % TILE_CELLS)].push(extra);
    this.reach.raise(tile, zMin, zMax);
  }

  finish(): PackedTiles {
    const { reach } = this;
    const { tilesAcross, tilesUp, zMin, zMax, hairs, beyondReach } = reach;
    const tiles = tilesAcross * tilesUp;
    const tileTable = createTable(tiles * TILE_TEXELS, 'tiles');
    const list: number[] = [];
    const warnings: string[] = [];
    let dropped = 0;
    for (let tile = 0; tile < tiles; tile++) {
      const extras = this.extrasOfTile.get(tile);
      const at = tile * TILE_TEXELS * 4;
      tileTable[at] =
        reach.reachEnds[tile] |
        (reach.reachLines[tile] << TileBits.reachLinesShift) |
        (reach.bodyReachEnds[tile] << TileBits.bodyEndsShift) |
        (reach.bodyReachLines[tile] << TileBits.bodyLinesShift) |
        ((extras ? 1 : 0) << TileBits.extrasShift);
      tileTable[at + 1] = list.length / 4;
      if (extras) dropped += listExtras(list, extras);
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
    if (dropped > 0) warnings.push(`${dropped} thread ends are too crowded to draw`);
    const extraList = createTable(list.length / 4, 'thread ends');
    extraList.set(list);
    return { tilesAcross, tilesUp, tileTable, extraList, bounds: { min: reach.min, max: reach.max }, warnings };
  }
}
