import { EXTRA_TEXELS, MAX_CELL_EXTRAS, TILE_CELLS } from './clothBufferLayout.ts';
import type { ClothExtras } from './extraTubes.ts';
import { createTable } from './packTables.ts';
import { cellAt } from './threadSizes.ts';
import type { TileReach } from './tileReach.ts';

/** Extras that reach a tile, cell by cell as they were found. */
interface InCells {
  readonly cells: number[];
  readonly extras: number[];
}

const CELLS_A_TILE = TILE_CELLS * TILE_CELLS;

const _counts = new Uint32Array(CELLS_A_TILE);
const _next = new Uint32Array(CELLS_A_TILE);

/** Which extras (turns, tails, cut ends) reach which cells of which tiles. */
export class TileExtras {
  /** How many found no room. */
  dropped = 0;
  private readonly ofTile: Map<number, InCells> = new Map();
  private listed = 0;
  private numbers: Float32Array = new Float32Array(0);

  /** Finds the cells that extras reach, and widens the tiles' heights and the cloth's bounds by them. */
  add({ count, data }: ClothExtras, endX: ArrayLike<number>, lineY: ArrayLike<number>, reach: TileReach): void {
    for (let extra = 0; extra < count; extra++) {
      const at = extra * EXTRA_TEXELS * 4;
      const hair = data[at + 14];
      const half = data[at + 3] + hair;
      const halfHeight = data[at + 3] * data[at + 7];
      // The curve lies in the hull of its control points.
      const lo = [0, 1, 2].map((k) => Math.min(data[at + k], data[at + 4 + k], data[at + 8 + k]));
      const hi = [0, 1, 2].map((k) => Math.max(data[at + k], data[at + 4 + k], data[at + 8 + k]));
      const size = [half, half, halfHeight + hair];
      for (const axis of [0, 1, 2] as const) reach.grow(axis, lo[axis] - size[axis], hi[axis] + size[axis]);
      const x0 = cellAt(endX, lo[0] - half) + 1;
      const x1 = cellAt(endX, hi[0] + half) + 1;
      const y0 = cellAt(lineY, lo[1] - half) + 1;
      const y1 = cellAt(lineY, hi[1] + half) + 1;
      for (let y = y0; y <= y1; y++) {
        for (let x = x0; x <= x1; x++) {
          const tile = Math.floor(y / TILE_CELLS) * reach.tilesAcross + Math.floor(x / TILE_CELLS);
          this.note(tile, (y % TILE_CELLS) * TILE_CELLS + (x % TILE_CELLS), extra);
          reach.raise(tile, lo[2] - halfHeight, hi[2] + halfHeight, hair);
        }
      }
    }
  }

  private note(tile: number, cell: number, extra: number): void {
    let here = this.ofTile.get(tile);
    if (!here) {
      here = { cells: [], extras: [] };
      this.ofTile.set(tile, here);
    }
    here.cells.push(cell);
    here.extras.push(extra);
  }

  has(tile: number): boolean {
    return this.ofTile.has(tile);
  }

  /** Room for the list: a texel a cell of each tile that has any, and one an entry. @throws PackingError */
  private room(): Float32Array {
    if (this.numbers.length > 0) return this.numbers;
    let texels = 0;
    for (const { extras } of this.ofTile.values()) texels += CELLS_A_TILE + extras.length;
    this.numbers = createTable(texels, 'thread ends');
    return this.numbers;
  }

  /**
   * Appends to the list where each of a tile's cells has its extras and how many they are, and then those, and says where they
   * begin in it. After all have been added.
   */
  list(tile: number): number {
    const start = this.listed;
    const here = this.ofTile.get(tile);
    if (!here) return start;
    const { cells, extras } = here;
    const out = this.room();
    _counts.fill(0);
    for (const cell of cells) _counts[cell]++;
    let next = start + CELLS_A_TILE;
    for (let cell = 0; cell < CELLS_A_TILE; cell++) {
      const count = Math.min(_counts[cell], MAX_CELL_EXTRAS);
      this.dropped += _counts[cell] - count;
      _counts[cell] = count;
      _next[cell] = next;
      out[4 * (start + cell)] = next;
      out[4 * (start + cell) + 1] = count;
      next += count;
    }
    for (let k = 0; k < cells.length; k++) {
      const cell = cells[k];
      if (_counts[cell] === 0) continue;
      _counts[cell]--;
      out[4 * _next[cell]++] = extras[k];
    }
    this.listed = next;
    return start;
  }

  /** The list of all tiles as a table. */
  table(): Float32Array {
    return this.room();
  }
}
