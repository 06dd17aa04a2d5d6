import { createDrawdown, type Drawdown } from './drawdown.ts';

/** Ones where row words hold ends, zeros beyond the last end. */
export function lastWordMask(ends: number): number {
  return (ends & 31) === 0 ? -1 : (1 << (ends & 31)) - 1;
}

/** Every crossing the other way: warp over weft becomes weft over warp. */
export function complement(drawdown: Drawdown): Drawdown {
  const result = createDrawdown(drawdown.rows, drawdown.ends);
  const { bits, wordsPerRow } = drawdown;
  const mask = lastWordMask(drawdown.ends);
  for (let word = 0; word < bits.length; word++) {
    result.bits[word] = (word + 1) % wordsPerRow === 0 ? ~bits[word] & mask : ~bits[word];
  }
  return result;
}

/** Left and right exchanged: the last end becomes the first. */
export function reverseEnds(drawdown: Drawdown): Drawdown {
  const result = createDrawdown(drawdown.rows, drawdown.ends);
  const { rows, wordsPerRow: width } = drawdown;
  const shift = (32 - (drawdown.ends & 31)) & 31;
  for (let row = 0; row < rows; row++) {
    const start = row * width;
    for (let word = 0; word < width; word++) {
      // Reversed, the unused bits of the last word lie first; a shift by their number closes the gap.
      const here = reverseBits32(drawdown.bits[start + width - 1 - word]);
      const next = word + 1 < width ? reverseBits32(drawdown.bits[start + width - 2 - word]) : 0;
      result.bits[start + word] = shift === 0 ? here : (here >>> shift) | (next << (32 - shift));
    }
  }
  return result;
}

/** First and last pick exchanged. */
export function reversePicks(drawdown: Drawdown): Drawdown {
  const result = createDrawdown(drawdown.rows, drawdown.ends);
  const width = drawdown.wordsPerRow;
  for (let row = 0; row < drawdown.rows; row++) {
    const from = (drawdown.rows - 1 - row) * width;
    result.bits.set(drawdown.bits.subarray(from, from + width), row * width);
  }
  return result;
}

/**
 * The same cloth seen from its back, turned about its vertical axis as a hand turns it: what was down is up, and the
 * rightmost end on the face is the leftmost.
 */
export function backView(drawdown: Drawdown): Drawdown {
  return reverseEnds(complement(drawdown));
}

/**
 * Ends and picks exchanged without changing which crossings are marked: row i of the result is end i.
 * (Turning a cloth by 90° with its yarns also exchanges over and under: `complement` of this.)
 */
export function transpose(drawdown: Drawdown): Drawdown {
  const { rows, ends, wordsPerRow, bits } = drawdown;
  const result = createDrawdown(ends, rows);
  const block = new Int32Array(32);
  for (let row0 = 0; row0 < rows; row0 += 32) {
    const blockRows = Math.min(32, rows - row0);
    for (let word = 0; word < wordsPerRow; word++) {
      block.fill(0);
      for (let k = 0; k < blockRows; k++) block[k] = bits[(row0 + k) * wordsPerRow + word];
      transposeBlock(block);
      const blockEnds = Math.min(32, ends - word * 32);
      for (let k = 0; k < blockEnds; k++) {
        result.bits[(word * 32 + k) * result.wordsPerRow + (row0 >>> 5)] = block[k];
      }
    }
  }
  return result;
}

/** The drawdown repeated until it has the given size, starting with its first end and pick. */
export function tile(drawdown: Drawdown, rows: number, ends: number): Drawdown {
  const result = createDrawdown(rows, ends);
  const width = result.wordsPerRow;
  for (let row = 0; row < rows; row++) {
    const start = row * width;
    if (row >= drawdown.rows) {
      const from = (row - drawdown.rows) * width;
      result.bits.copyWithin(start, from, from + width);
      continue;
    }
    const source = row * drawdown.wordsPerRow;
    for (let end = 0; end < ends; end++) {
      const from = end % drawdown.ends;
      result.bits[start + (end >>> 5)] |= ((drawdown.bits[source + (from >>> 5)] >>> (from & 31)) & 1) << (end & 31);
    }
  }
  return result;
}

/** The repeat begun elsewhere: pick `byRows` and end `byEnds` (any whole numbers) become the first. */
export function cycle(drawdown: Drawdown, byRows: number, byEnds: number): Drawdown {
  const { rows, ends } = drawdown;
  const result = createDrawdown(rows, ends);
  for (let row = 0; row < rows; row++) {
    const source = modulo(row + byRows, rows) * drawdown.wordsPerRow;
    for (let end = 0; end < ends; end++) {
      const from = modulo(end + byEnds, ends);
      const bit = (drawdown.bits[source + (from >>> 5)] >>> (from & 31)) & 1;
      result.bits[row * result.wordsPerRow + (end >>> 5)] |= bit << (end & 31);
    }
  }
  return result;
}

export function sameDrawdown(first: Drawdown, second: Drawdown): boolean {
  if (first.rows !== second.rows || first.ends !== second.ends) return false;
  for (let word = 0; word < first.bits.length; word++) {
    if (first.bits[word] !== second.bits[word]) return false;
  }
  return true;
}

/** Rows of 0 and 1, first pick first, as handbooks print a weave. */
export function rowsFromDrawdown(drawdown: Drawdown): number[][] {
  return Array.from({ length: drawdown.rows }, (_, row) =>
    Array.from(
      { length: drawdown.ends },
      (_, end) => (drawdown.bits[row * drawdown.wordsPerRow + (end >>> 5)] >>> (end & 31)) & 1,
    ),
  );
}

function modulo(value: number, period: number): number {
  return ((value % period) + period) % period;
}

function reverseBits32(word: number): number {
  let x = word;
  x = ((x >>> 1) & 0x55555555) | ((x & 0x55555555) << 1);
  x = ((x >>> 2) & 0x33333333) | ((x & 0x33333333) << 2);
  x = ((x >>> 4) & 0x0f0f0f0f) | ((x & 0x0f0f0f0f) << 4);
  x = ((x >>> 8) & 0x00ff00ff) | ((x & 0x00ff00ff) << 8);
  return (x >>> 16) | (x << 16);
}

/** 32 × 32 bits in place, bit k of row j becoming bit j of row k (halving swaps; H. S. Warren, Hacker's Delight, 7-3). */
function transposeBlock(block: Int32Array): void {
  let mask = 0x0000ffff;
  for (let size = 16; size !== 0; size >>>= 1, mask ^= mask << size) {
    for (let row = 0; row < 32; row = (row + size + 1) & ~size) {
      const swap = ((block[row] >>> size) ^ block[row + size]) & mask;
      block[row] ^= swap << size;
      block[row + size] ^= swap;
    }
  }
}
