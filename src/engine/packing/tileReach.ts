import { MAX_REACH, TILE_CELLS } from './clothBufferLayout.ts';

const TILE_SHIFT = Math.log2(TILE_CELLS);

/** Ranges of threads within one tile: sideways of their lines and in height, mm. */
export class ThreadRanges {
  readonly from: Float64Array;
  readonly to: Float64Array;
  readonly lo: Float64Array;
  readonly hi: Float64Array;

  constructor(threads: number) {
    this.from = new Float64Array(threads);
    this.to = new Float64Array(threads);
    this.lo = new Float64Array(threads);
    this.hi = new Float64Array(threads);
  }

  clear(threads = this.from.length): void {
    this.from.fill(Infinity, 0, threads);
    this.to.fill(-Infinity, 0, threads);
    this.lo.fill(Infinity, 0, threads);
    this.hi.fill(-Infinity, 0, threads);
  }

  empty(thread: number): boolean {
    return this.lo[thread] > this.hi[thread];
  }
}

/** Which threads reach which tiles of 8 × 8 cells, how far and at which heights. Cell -1 (outside) is column 0. */
export class TileReach {
  readonly tilesAcross: number;
  readonly tilesUp: number;
  readonly reachEnds: Uint8Array;
  readonly reachLines: Uint8Array;
  readonly marginEnds: Float32Array;
  readonly marginLines: Float32Array;
  /** The same without hair. */
  readonly bodyReachEnds: Uint8Array;
  readonly bodyReachLines: Uint8Array;
  readonly bodyEnds: Float32Array;
  readonly bodyLines: Float32Array;
  readonly zMin: Float32Array;
  readonly zMax: Float32Array;
  /** How far hair stands off the threads that reach a tile. */
  readonly hairs: Float32Array;
  /** The same of hair that light looks at. */
  readonly shading: Float32Array;
  readonly min: [number, number, number] = [Infinity, Infinity, Infinity];
  readonly max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  beyondReach = 0;

  constructor(
    private readonly endX: Float64Array,
    private readonly lineY: Float64Array,
  ) {
    this.tilesAcross = Math.ceil((endX.length + 1) / TILE_CELLS);
    this.tilesUp = Math.ceil((lineY.length + 1) / TILE_CELLS);
    const tiles = this.tilesAcross * this.tilesUp;
    this.reachEnds = new Uint8Array(tiles);
    this.reachLines = new Uint8Array(tiles);
    this.marginEnds = new Float32Array(tiles);
    this.marginLines = new Float32Array(tiles);
    this.bodyReachEnds = new Uint8Array(tiles);
    this.bodyReachLines = new Uint8Array(tiles);
    this.bodyEnds = new Float32Array(tiles);
    this.bodyLines = new Float32Array(tiles);
    this.hairs = new Float32Array(tiles);
    this.shading = new Float32Array(tiles);
    this.zMin = new Float32Array(tiles).fill(Infinity);
    this.zMax = new Float32Array(tiles).fill(-Infinity);
  }

  /** Warp segments of an end within the tile of `line`, by the range `at`, and hair beyond. */
  addWarp(end: number, line: number, ranges: ThreadRanges, at: number, hair: number, shading: number): void {
    this.cover(end, this.endX, line, true, ranges, at, hair, shading);
  }

  /** Weft segments on `line` within the tile of `end`, by the range `at`, and hair beyond. */
  addWeft(end: number, line: number, ranges: ThreadRanges, at: number, hair: number, shading: number): void {
    this.cover(line, this.lineY, end, false, ranges, at, hair, shading);
  }

  /** Notes that thread `index` covers a range in the tile of the cell `alongCell` of the other axis. */
  private cover(
    index: number,
    positions: Float64Array,
    alongCell: number,
    warp: boolean,
    ranges: ThreadRanges,
    at: number,
    hair: number,
    shading: number,
  ): void {
    const n = positions.length;
    const from = ranges.from[at];
    const to = ranges.to[at];
    const lo = ranges.lo[at];
    const hi = ranges.hi[at];
    const start = positions[index] + from - hair;
    const stop = positions[index] + to + hair;
    const body = Math.max(-from, to);
    const bodyReach = warp ? this.bodyReachEnds : this.bodyReachLines;
    const reach = warp ? this.reachEnds : this.reachLines;
    const margins = warp ? this.marginEnds : this.marginLines;
    const bodies = warp ? this.bodyEnds : this.bodyLines;
    this.grow(warp ? 0 : 1, start, stop);
    let first = index;
    while (first >= 0 && positions[first] > start) first--;
    let last = index;
    while (last + 1 < n && positions[last + 1] <= stop) last++;
    for (let cell = first; cell <= last; cell++) {
      let need = index > cell ? index - cell : cell - index + 1;
      const ofBody = cell < index ? positions[cell + 1] > start + hair : positions[cell] <= stop - hair;
      if (need > MAX_REACH) {
        // The body's own part; hair is kept short enough where it is packed (packHair.ts).
        if (ofBody) this.beyondReach++;
        need = MAX_REACH;
      }
      const x = warp ? cell : alongCell;
      const y = warp ? alongCell : cell;
      const tile = ((y + 1) >> TILE_SHIFT) * this.tilesAcross + ((x + 1) >> TILE_SHIFT);
      if (hair > this.hairs[tile]) this.hairs[tile] = hair;
      if (shading > this.shading[tile]) this.shading[tile] = shading;
      if (ofBody && need > bodyReach[tile]) bodyReach[tile] = need;
      if (body > bodies[tile]) bodies[tile] = body;
      if (body + hair > margins[tile]) margins[tile] = body + hair;
      if (need > reach[tile]) reach[tile] = need;
      if (lo < this.zMin[tile]) this.zMin[tile] = lo;
      if (hi > this.zMax[tile]) this.zMax[tile] = hi;
    }
  }

  /** Widens a tile's heights, of bodies and of hair beyond. */
  raise(tile: number, lo: number, hi: number, hair: number): void {
    if (hair > this.hairs[tile]) this.hairs[tile] = hair;
    if (lo < this.zMin[tile]) this.zMin[tile] = lo;
    if (hi > this.zMax[tile]) this.zMax[tile] = hi;
  }

  /** Widens the cloth's own bounds. */
  grow(axis: 0 | 1 | 2, lo: number, hi: number): void {
    if (lo < this.min[axis]) this.min[axis] = lo;
    if (hi > this.max[axis]) this.max[axis] = hi;
  }

  /** What is known of the tiles that have been reached, from the first of these to the last. */
  reached(): PartReach {
    const { zMin, zMax } = this;
    let first = 0;
    while (first < zMin.length && zMin[first] > zMax[first]) first++;
    let stop = zMin.length;
    while (stop > first && zMin[stop - 1] > zMax[stop - 1]) stop--;
    const part = Object.fromEntries([...MOST, 'zMin' as const].map((name) => [name, this[name].slice(first, stop)]));
    return {
      first,
      tiles: part as unknown as PartReach['tiles'],
      min: this.min,
      max: this.max,
      beyond: this.beyondReach,
    };
  }

  /** Takes in what another has found of its threads. */
  merge({ first, tiles, min, max, beyond }: PartReach): void {
    for (const name of MOST) {
      const [mine, its] = [this[name], tiles[name]];
      for (let k = 0; k < its.length; k++) if (its[k] > mine[first + k]) mine[first + k] = its[k];
    }
    for (let k = 0; k < tiles.zMin.length; k++)
      if (tiles.zMin[k] < this.zMin[first + k]) this.zMin[first + k] = tiles.zMin[k];
    for (const axis of [0, 1, 2] as const) this.grow(axis, min[axis], max[axis]);
    this.beyondReach += beyond;
  }
}

/** Of these a tile has the greatest that any of its threads says. */
const MOST = [
  ...(['reachEnds', 'reachLines', 'bodyReachEnds', 'bodyReachLines'] as const),
  ...(['marginEnds', 'marginLines', 'bodyEnds', 'bodyLines', 'zMax', 'hairs', 'shading'] as const),
];

/** What some of the threads say of the tiles that they reach, from tile `first` on. */
export interface PartReach {
  readonly first: number;
  readonly tiles: Readonly<Record<(typeof MOST)[number] | 'zMin', Uint8Array | Float32Array>>;
  readonly min: readonly [number, number, number];
  readonly max: readonly [number, number, number];
  readonly beyond: number;
}
