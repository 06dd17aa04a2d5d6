/** A rectangle of the picture, pixels from the bottom left. */
export interface Tile {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** No draw should pass 50 ms; aim well below, since a tile's cost varies over the picture. */
const AIM_MS = 25;
const TOO_LONG_MS = 40;
/** A fence is seen once a frame, so anything under a frame and a bit may have been far quicker. */
const SHORT_MS = 20;
const LEAST_PIXELS = 32 * 32;
const FIRST_PIXELS = 128 * 128;

/** Cuts each pass over the picture into tiles, sized from how long the last ones took. */
export class TileSchedule {
  readonly tile: Tile = { x: 0, y: 0, width: 0, height: 0 };
  private width = 0;
  private height = 0;
  private side = { x: 0, y: 0 };

  /** @param pixels of the first tile, before any time is known */
  constructor(private pixels = FIRST_PIXELS) {}

  /** Begins a pass: `tile` is the first rectangle. */
  begin(width: number, height: number): void {
    this.width = width;
    this.height = height;
    if (this.pixels >= width * 16) {
      this.side = { x: width, y: Math.min(height, Math.floor(this.pixels / width)) };
    } else {
      const side = Math.max(32, Math.floor(Math.sqrt(this.pixels)));
      this.side = { x: Math.min(width, side), y: Math.min(height, side) };
    }
    this.place(0, 0);
  }

  /** Moves to the next rectangle; false when the pass is complete. */
  next(): boolean {
    const { x, y, width, height } = this.tile;
    if (x + width < this.width) this.place(x + width, y);
    else if (y + height < this.height) this.place(0, y + height);
    else return false;
    return true;
  }

  /** Learns from a tile's time, from issue until its fence was seen. */
  learn(pixels: number, elapsedMs: number): void {
    if (elapsedMs > TOO_LONG_MS) this.pixels = Math.max(LEAST_PIXELS, (pixels * AIM_MS) / elapsedMs);
    else if (elapsedMs < SHORT_MS && pixels >= this.pixels * 0.5) this.pixels = Math.min(4e6, this.pixels * 2);
  }

  private place(x: number, y: number): void {
    this.tile.x = x;
    this.tile.y = y;
    this.tile.width = Math.min(this.side.x, this.width - x);
    this.tile.height = Math.min(this.side.y, this.height - y);
  }
}

/** Cuts a picture into as few tiles of at most `most` a side as hold it, as even as can be. */
export function evenTiles(width: number, height: number, most: number): Tile[] {
  const columns = Math.ceil(width / most);
  const rows = Math.ceil(height / most);
  const edge = (length: number, parts: number, k: number) => Math.round((length * k) / parts);
  const tiles: Tile[] = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const x = edge(width, columns, column);
      const y = edge(height, rows, row);
      tiles.push({ x, y, width: edge(width, columns, column + 1) - x, height: edge(height, rows, row + 1) - y });
    }
  }
  return tiles;
}
