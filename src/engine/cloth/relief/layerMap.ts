import { PairNumbers } from '#engine/cloth/kinds/pairNumbers.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';

/** Side of a thread where the cloth falls into layers; a pick between them is wadding. */
export const Side = { none: 0, upper: 1, lower: 2, between: 3 } as const;

/** Which layer each thread of a crossing belongs to there, `none` for both where the cloth is one; without layers nothing. */
export interface LayerMap {
  readonly rows: number;
  readonly ends: number;
  /** Whether any crossing falls into layers. */
  readonly layered: boolean;
  readonly endSide: Uint8Array;
  readonly rowSide: Uint8Array;
}

/** Threads each way that are looked at together: two layers of plain or 2/2 twill, one thread and one, fit in it. */
export const WINDOW = 8;
/** Threads each way that a layer must have in a window to be a cloth of its own. */
const LEAST_THREADS = 2;
/** Threads of a layer that may lie loose over the rest of it within a window (a long float); more are floats, no layer. */
const MOST_LOOSE = 1;

const bitCount = Uint8Array.from({ length: 256 }, (_, byte) => {
  let count = 0;
  for (let rest = byte; rest > 0; rest &= rest - 1) count++;
  return count;
});
/** Bit k of a byte moved to bit 4k, so that eight columns are counted in one sum. */
const spread = Uint32Array.from({ length: 256 }, (_, byte) => {
  let out = 0;
  for (let k = 0; k < WINDOW; k++) if (byte & (1 << k)) out += 2 ** (4 * k);
  return out;
});

/** Threads of a window by part, a bit each. */
export interface Split {
  upperEnds: number;
  lowerEnds: number;
  upperRows: number;
  lowerRows: number;
}

/** Whether threads of a part cross over and under one another: half of its picks at least are not all on one side. */
function interlaces(bytes: Uint8Array, rowMask: number, endMask: number): boolean {
  let mixed = 0;
  for (let row = 0; row < WINDOW; row++) {
    if (!(rowMask & (1 << row))) continue;
    const up = bytes[row] & endMask;
    if (up !== 0 && up !== endMask) mixed++;
  }
  return 2 * mixed >= bitCount[rowMask];
}

const _rowOrder = new Uint8Array(WINDOW);
const _endOrder = new Uint8Array(WINDOW);
const _c = new Uint8Array(WINDOW);

function sortBy(order: Uint8Array, key: (k: number) => number): void {
  for (let k = 0; k < WINDOW; k++) {
    let at = k;
    while (at > 0 && key(order[at - 1]) > key(k)) {
      order[at] = order[at - 1];
      at--;
    }
    order[at] = k;
  }
}

/**
 * Upper and lower part of a window that weave by themselves, into `split`; false where it hangs together. The criterion
 * is that of `weave/layers.ts` (C. R. J. Clapham 1980).
 */
export function splitWindow(bytes: Uint8Array, split: Split): boolean {
  let columns = 0;
  for (let row = 0; row < WINDOW; row++) columns += spread[bytes[row]];
  for (let end = 0; end < WINDOW; end++) _c[end] = Math.floor(columns / 2 ** (4 * end)) & 15;
  sortBy(_rowOrder, (row) => bitCount[bytes[row]]);
  sortBy(_endOrder, (end) => -_c[end]);
  let upper = -1;
  let lower = -1;
  let before = 0;
  let after = 0;
  let sumR = 0;
  for (let s = 0; s < WINDOW; s++) {
    if (s > 0) sumR += bitCount[bytes[_rowOrder[s - 1]]];
    let sumC = 0;
    for (let t = 0; t < WINDOW; t++) {
      if (t > 0) sumC += _c[_endOrder[t - 1]];
      if (sumC - sumR !== t * (WINDOW - s)) continue;
      if (upper < 0 && s + t > 0) before++;
      after++;
      if (s >= LEAST_THREADS && t >= LEAST_THREADS && upper < 0) upper = s * WINDOW + t;
      if (WINDOW - s >= LEAST_THREADS && WINDOW - t >= LEAST_THREADS) {
        lower = s * WINDOW + t;
        after = 0;
      }
    }
  }
  // The upper part's own cut has been counted with those before it.
  if (upper < 0 || lower < upper || before - 1 > MOST_LOOSE || after > MOST_LOOSE) return false;
  split.upperRows = split.lowerRows = split.upperEnds = split.lowerEnds = 0;
  for (let k = 0; k < WINDOW; k++) {
    if (k < Math.floor(upper / WINDOW)) split.upperRows |= 1 << _rowOrder[k];
    if (k >= Math.floor(lower / WINDOW)) split.lowerRows |= 1 << _rowOrder[k];
    if (k < upper % WINDOW) split.upperEnds |= 1 << _endOrder[k];
    if (k >= lower % WINDOW) split.lowerEnds |= 1 << _endOrder[k];
  }
  return (
    (split.lowerRows & split.upperRows) === 0 &&
    (split.lowerEnds & split.upperEnds) === 0 &&
    interlaces(bytes, split.upperRows, split.upperEnds) &&
    interlaces(bytes, split.lowerRows, split.lowerEnds)
  );
}

const sideIn = (upper: number, lower: number, k: number): number =>
  upper & (1 << k) ? Side.upper : lower & (1 << k) ? Side.lower : Side.between;

/** Threads between windows that are tried first: where none of them splits, no pocket is twelve threads wide. */
const COARSE = 4;

/** The window whose first thread each way is given. */
export function readWindow(
  drawdown: Drawdown,
  rows: number,
  ends: number,
  row: number,
  end: number,
  bytes: Uint8Array,
): void {
  const { wordsPerRow, bits } = drawdown;
  const within = row + WINDOW <= rows && end + WINDOW <= ends;
  for (let j = 0; j < WINDOW; j++) {
    let byte = 0;
    if (within) {
      const at = (row + j) * wordsPerRow + (end >>> 5);
      const shift = end & 31;
      byte = bits[at] >>> shift;
      if (shift > 32 - WINDOW) byte |= bits[at + 1] << (32 - shift);
      bytes[j] = byte;
      continue;
    }
    for (let k = 0; k < WINDOW; k++) if (isWarpUp(drawdown, (row + j) % rows, (end + k) % ends)) byte |= 1 << k;
    bytes[j] = byte;
  }
}

/** Four bytes of a window as one number. */
export const wordOf = (bytes: Uint8Array, at: number): number =>
  bytes[at] | (bytes[at + 1] << 8) | (bytes[at + 2] << 16) | (bytes[at + 3] << 24);

/**
 * Where a cloth falls into layers: a crossing does if any window of 8 × 8 threads over it does. Pockets narrower than that are
 * not found, nor a cloth of none wider than twelve. A stitch (one end over a pick that is not of its layer) parts them, as does
 * a border at which layers change over. Pauses now and then.
 * @param rows,ends of the drawdown that are looked at: one repeat of it where `repeats`
 */
export function* layerMap(drawdown: Drawdown, rows: number, ends: number, repeats: boolean): Generator<void, LayerMap> {
  const lastRow = repeats ? rows - 1 : rows - WINDOW;
  const lastEnd = repeats ? ends - 1 : ends - WINDOW;
  const bytes = new Uint8Array(WINDOW);
  const split: Split = { upperEnds: 0, lowerEnds: 0, upperRows: 0, lowerRows: 0 };
  let found = false;
  // Most windows of a cloth are alike: each is tried once.
  const tried = new PairNumbers();
  for (let row = 0; row <= lastRow && !found; row += COARSE) {
    if (row > 0 && row % 64 === 0) yield;
    for (let end = 0; end <= lastEnd && !found; end += COARSE) {
      readWindow(drawdown, rows, ends, row, end, bytes);
      const { count } = tried;
      const number = tried.add(wordOf(bytes, 0), wordOf(bytes, 4));
      found = number === count && splitWindow(bytes, split);
    }
  }
  const size = found ? rows * ends : 0;
  const map: LayerMap = { rows, ends, layered: found, endSide: new Uint8Array(size), rowSide: new Uint8Array(size) };
  if (!found) return map;
  const { endSide, rowSide } = map;
  for (let row = 0; row <= lastRow; row++) {
    if (row > 0 && row % 16 === 0) yield;
    readWindow(drawdown, rows, ends, row, ends - 1, bytes);
    for (let end = 0; end <= lastEnd; end++) {
      for (let j = 0; j < WINDOW; j++) {
        const next = isWarpUp(drawdown, (row + j) % rows, (end + WINDOW - 1) % ends) ? 1 << (WINDOW - 1) : 0;
        bytes[j] = (bytes[j] >> 1) | next;
      }
      if (!splitWindow(bytes, split)) continue;
      for (let j = 0; j < WINDOW; j++) {
        const ofRow = sideIn(split.upperRows, split.lowerRows, j);
        for (let k = 0; k < WINDOW; k++) {
          const at = ((row + j) % rows) * ends + ((end + k) % ends);
          if (rowSide[at] !== Side.none) continue;
          rowSide[at] = ofRow;
          endSide[at] = sideIn(split.upperEnds, split.lowerEnds, k);
        }
      }
    }
  }
  return map;
}
