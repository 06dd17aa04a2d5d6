/**
 * The drawdown: which thread lies uppermost at each crossing, seen from the face.
 * Row 0 is the first pick (the cloth grows upward), end 0 the leftmost end seen from the face.
 * Bit `end & 31` of word `row * wordsPerRow + (end >> 5)` is 1 where the warp is up (over the weft).
 * Bits beyond `ends` are 0.
 */
export interface Drawdown {
  readonly rows: number;
  readonly ends: number;
  readonly wordsPerRow: number;
  readonly bits: Uint32Array;
}

export function createDrawdown(rows: number, ends: number): Drawdown {
  const wordsPerRow = (ends + 31) >>> 5;
  return { rows, ends, wordsPerRow, bits: new Uint32Array(rows * wordsPerRow) };
}

export function isWarpUp(drawdown: Drawdown, row: number, end: number): boolean {
  return ((drawdown.bits[row * drawdown.wordsPerRow + (end >>> 5)] >>> (end & 31)) & 1) === 1;
}

export function setWarpUp(drawdown: Drawdown, row: number, end: number, up: boolean): void {
  const word = row * drawdown.wordsPerRow + (end >>> 5);
  const bit = 1 << (end & 31);
  drawdown.bits[word] = up ? drawdown.bits[word] | bit : drawdown.bits[word] & ~bit;
}

/** From rows of 0 and 1, first pick first, as handbooks print a weave. */
export function drawdownFromRows(rows: readonly (readonly number[])[]): Drawdown {
  const drawdown = createDrawdown(rows.length, rows[0]?.length ?? 0);
  rows.forEach((row, j) => {
    row.forEach((up, i) => {
      if (up) setWarpUp(drawdown, j, i, true);
    });
  });
  return drawdown;
}
