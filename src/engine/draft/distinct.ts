import type { Drawdown } from './drawdown.ts';
import { transpose } from './transformDrawdown.ts';

export interface DistinctLines {
  /** Per row (or end): the number of its class, classes counted from 0 in order of first appearance. */
  readonly classOf: Uint32Array;
  /** Per class: the first row (or end) of it. */
  readonly firstOf: Uint32Array;
}

/** Rows that are the same, pick for pick. Rows are hashed, and compared word for word where hashes agree. */
export function distinctPicks(drawdown: Drawdown): DistinctLines {
  const { rows, wordsPerRow: width } = drawdown;
  const bits = new Int32Array(drawdown.bits.buffer, drawdown.bits.byteOffset, drawdown.bits.length);
  const size = 1 << (33 - Math.clz32(Math.max(rows, 4)));
  const slots = new Int32Array(size).fill(-1);
  const classOf = new Uint32Array(rows);
  const firstOf: number[] = [];
  for (let row = 0; row < rows; row++) {
    const start = row * width;
    // FNV-1a over words, then the high bits folded in.
    let hash = 0x811c9dc5 | 0;
    for (let word = 0; word < width; word++) hash = Math.imul(hash ^ bits[start + word], 0x01000193) ^ (hash >>> 15);
    let slot = (hash ^ (hash >>> 16)) & (size - 1);
    let found = -1;
    while (slots[slot] >= 0) {
      const candidate = slots[slot];
      const other = firstOf[candidate] * width;
      let word = 0;
      while (word < width && bits[start + word] === bits[other + word]) word++;
      if (word === width) {
        found = candidate;
        break;
      }
      slot = (slot + 1) & (size - 1);
    }
    if (found < 0) {
      found = firstOf.length;
      firstOf.push(row);
      slots[slot] = found;
    }
    classOf[row] = found;
  }
  return { classOf, firstOf: Uint32Array.from(firstOf) };
}

/** Ends that are the same, pick for pick: each class needs one shaft. */
export function distinctEnds(drawdown: Drawdown): DistinctLines {
  return distinctPicks(transpose(drawdown));
}
