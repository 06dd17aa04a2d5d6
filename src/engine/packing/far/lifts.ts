import { GONE_BYTE, THREAD_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import { fromHalf } from '#engine/packing/halfFloat.ts';
import type { ClothReader } from '#engine/packing/walk/clothReader.ts';

/** Who lies over whom, as the cloth's heights have it. */
export interface LiftGrid {
  readonly lines: number;
  readonly ends: number;
  /** Whether lines or ends come again after these. */
  readonly linesWrap: boolean;
  readonly endsWrap: boolean;
  /** line * ends + end: 1 where warp lies over weft, 0 where under, 2 where one of them is not there. */
  readonly lifts: Uint8Array;
  /** Of a cloth that was cut: 1 where the warp is gone, 2 where the weft is, 3 where both are, 4 where ends stand there; else 0. */
  readonly gaps?: Uint8Array;
}

const LINES_PER_PAUSE = 32;
/** Beyond the cloth. */
const NOTHING = 3;

/** Of the first `lines` × `ends` crossings. Pauses now and then. */
export function* crossingLifts(reader: ClothReader, lines: number, ends: number): Generator<number, LiftGrid> {
  const { cloth } = reader;
  const lifts = new Uint8Array(lines * ends);
  const gaps = cloth.cut ? new Uint8Array(lines * ends) : undefined;
  for (let line = 0; line < lines; line++) {
    if (line % LINES_PER_PAUSE === 0) yield 0;
    for (let end = 0; end < ends; end++) {
      const row = reader.rowAt(line, end);
      const at = row * THREAD_TEXELS * 4;
      if (end < cloth.rowTable[at + 4] || end > cloth.rowTable[at + 5]) {
        lifts[line * ends + end] = 2;
        continue;
      }
      const gap = gaps ? gapAt(reader, line, end) : 0;
      if (gaps && gap > 0) {
        gaps[line * ends + end] = gap;
        lifts[line * ends + end] = 2;
        continue;
      }
      const node = reader.nodeIndex(row, end);
      const over = fromHalf(cloth.warpNodes[node] & 0xffff) > fromHalf(cloth.weftNodes[node] & 0xffff);
      lifts[line * ends + end] = over ? 1 : 0;
    }
  }
  return { lines, ends, linesWrap: lines < cloth.lines, endsWrap: ends < cloth.ends, lifts, ...(gaps ? { gaps } : {}) };
}

/** Which of a crossing's threads are cut away on both sides of it, and of none, whether cut ends reach there. */
function gapAt(reader: ClothReader, line: number, end: number): number {
  const { cloth } = reader;
  const isGone = (nodes: Uint32Array, row: number, at: number) =>
    (nodes[reader.nodeIndex(row, at) + 2] & 0xff) === GONE_BYTE;
  const warpUp = line + 1 >= cloth.lines || isGone(cloth.warpNodes, reader.rowAt(line, end), end);
  const warpDown = line === 0 || isGone(cloth.warpNodes, reader.rowAt(line - 1, end), end);
  const row = reader.rowAt(line, end);
  const weftRight = end + 1 >= cloth.ends || isGone(cloth.weftNodes, row, end);
  const weftLeft = end === 0 || isGone(cloth.weftNodes, row, end - 1);
  const gap = (warpUp && warpDown ? 1 : 0) + (weftRight && weftLeft ? 2 : 0);
  return gap === 3 && [0, 1, 2, 3].some((k) => hasEnds(reader, line - (k >> 1), end - (k & 1))) ? 4 : gap;
}

/** Whether ends of threads reach into the cell up and right of a crossing. */
function hasEnds(reader: ClothReader, line: number, end: number): boolean {
  return reader.extrasIn(line, end) > 0;
}

function liftAt({ lines, ends, linesWrap, endsWrap, lifts }: LiftGrid, line: number, end: number): number {
  if (line < 0 || line >= lines) {
    if (!linesWrap) return NOTHING;
    line = (line + lines) % lines;
  }
  if (end < 0 || end >= ends) {
    if (!endsWrap) return NOTHING;
    end = (end + ends) % ends;
  }
  return lifts[line * ends + end];
}

/**
 * A crossing's own lift with those about it, in 26 bits, and what is cut away there, in 3 more.
 * @param along crossings on either side, along the threads
 */
export function liftKey(
  grid: LiftGrid,
  line: number,
  end: number,
  { along, diagonal }: { readonly along: 0 | 1 | 2; readonly diagonal: boolean },
): number {
  let bits = liftAt(grid, line, end);
  for (let k = 1; k <= along; k++) {
    bits = bits * 256 + liftAt(grid, line - k, end) * 64 + liftAt(grid, line + k, end) * 16;
    bits += liftAt(grid, line, end - k) * 4 + liftAt(grid, line, end + k);
  }
  if (diagonal) {
    bits = bits * 256 + liftAt(grid, line - 1, end - 1) * 64 + liftAt(grid, line - 1, end + 1) * 16;
    bits += liftAt(grid, line + 1, end - 1) * 4 + liftAt(grid, line + 1, end + 1);
  }
  return grid.gaps ? bits + 2 ** 26 * grid.gaps[line * grid.ends + end] : bits;
}
