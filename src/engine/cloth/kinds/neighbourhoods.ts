import { rowsPerPause } from '#engine/cloth/pauses.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { ThreadKeys } from './threadKeys.ts';

/** Odd multipliers of two sums modulo 2³² (Knuth's 2654435761, and one of P. L'Ecuyer 1999): alike by chance once in 2⁶⁴. */
const FIRST = -1640531535;
const SECOND = 1181783497;
/** Key of what lies beyond the edges. */
const BEYOND = 0x5bd1e995;

/** Numbers given to pairs of 32-bit sums, in the order met. */
export class PairNumbers {
  count = 0;
  private mask = (1 << 12) - 1;
  private a = new Int32Array(1 << 12);
  private b = new Int32Array(1 << 12);
  private number = new Int32Array(1 << 12).fill(-1);

  /** Slot of a pair, or the free one where it would stand. */
  private slotOf(a: number, b: number): number {
    let slot = (a ^ (b >>> 7)) & this.mask;
    while (this.number[slot] >= 0 && (this.a[slot] !== a || this.b[slot] !== b)) slot = (slot + 1) & this.mask;
    return slot;
  }

  /** −1 where the pair has none. */
  find(a: number, b: number): number {
    return this.number[this.slotOf(a, b)];
  }

  add(a: number, b: number): number {
    const slot = this.slotOf(a, b);
    const known = this.number[slot];
    if (known >= 0) return known;
    this.a[slot] = a;
    this.b[slot] = b;
    this.number[slot] = this.count++;
    if (2 * this.count > this.mask) this.grow();
    return this.count - 1;
  }

  private grow(): void {
    const { a, b, number } = this;
    const size = 2 * number.length;
    this.mask = size - 1;
    this.a = new Int32Array(size);
    this.b = new Int32Array(size);
    this.number = new Int32Array(size).fill(-1);
    for (let k = 0; k < number.length; k++) {
      if (number[k] < 0) continue;
      const slot = this.slotOf(a[k], b[k]);
      this.a[slot] = a[k];
      this.b[slot] = b[k];
      this.number[slot] = number[k];
    }
  }
}

/** Per thread, a sum of the keys of those within `reach` of it. */
function keysAround(keys: Int32Array, reach: number, multiplier: number): Int32Array {
  return Int32Array.from(keys, (_, k) => {
    let sum = 0;
    for (let n = k - reach; n <= k + reach; n++)
      sum = (Math.imul(sum, multiplier) + (n >= 0 && n < keys.length ? keys[n] : BEYOND)) | 0;
    return sum;
  });
}

/**
 * Neighbourhoods of crossings: lifts of the (2·reach + 1)² crossings about each and what their threads are (threadKeys.ts),
 * as two 32-bit sums.
 * @param reach 0 to 15
 */
export class Neighbourhoods {
  readonly reach: number;
  /** Sums of the crossing asked for last. */
  a = 0;
  b = 0;
  private readonly drawdown: Drawdown;
  private readonly rows: readonly [Int32Array, Int32Array];
  private readonly ends: readonly [Int32Array, Int32Array];

  constructor(drawdown: Drawdown, keys: ThreadKeys, reach: number) {
    this.drawdown = drawdown;
    this.reach = reach;
    this.rows = [keysAround(keys.rows, reach, FIRST), keysAround(keys.rows, reach, SECOND)];
    this.ends = [keysAround(keys.ends, reach, SECOND), keysAround(keys.ends, reach, FIRST)];
  }

  /** Lifts about an end of a row as a number, the leftmost highest; 0 beyond the edges. */
  private liftsAt(row: number, end: number): number {
    const { rows, ends, wordsPerRow, bits } = this.drawdown;
    if (row < 0 || row >= rows) return 0;
    let lifts = 0;
    const at = row * wordsPerRow;
    for (let i = end - this.reach; i <= end + this.reach; i++)
      lifts = (lifts << 1) | (i >= 0 && i < ends ? (bits[at + (i >>> 5)] >>> (i & 31)) & 1 : 0);
    return lifts;
  }

  /** Sets `a` and `b` to a crossing's. */
  look(row: number, end: number): void {
    let a = 0;
    let b = 0;
    for (let j = row - this.reach; j <= row + this.reach; j++) {
      const lifts = this.liftsAt(j, end);
      a = (Math.imul(a, FIRST) + lifts) | 0;
      b = (Math.imul(b, SECOND) + lifts) | 0;
    }
    this.finish(a, b, row, end);
  }

  private finish(a: number, b: number, row: number, end: number): void {
    this.a = Math.imul((a + this.rows[0][row]) | 0, SECOND) ^ this.ends[0][end];
    this.b = Math.imul((b + this.rows[1][row]) | 0, FIRST) ^ this.ends[1][end];
  }

  /**
   * Numbers of all crossings' neighbourhoods, row-major; null where there are more than `most`. Pauses now and then.
   */
  *numberAll(most: number): Generator<void, { readonly kindOf: Uint32Array; readonly kinds: number } | null> {
    const { rows, ends } = this.drawdown;
    const { reach } = this;
    const width = 2 * reach + 1;
    const mask = 2 ** width - 1;
    const numbers = new PairNumbers();
    const kindOf = new Uint32Array(rows * ends);
    const a = new Int32Array(ends);
    const b = new Int32Array(ends);
    let lastA = 1;
    let lastB = 1;
    for (let k = 0; k < width - 1; k++) {
      lastA = Math.imul(lastA, FIRST);
      lastB = Math.imul(lastB, SECOND);
    }
    const step = rowsPerPause(ends);
    // Rows before the first are beyond the edge, and their lifts are 0.
    for (let j = 0; j < reach; j++) this.shift(a, b, j, -1, lastA, lastB, mask);
    for (let row = 0; row < rows; row++) {
      if (row % step === step - 1) yield;
      this.shift(a, b, row + reach, row - reach - 1, lastA, lastB, mask);
      const at = row * ends;
      for (let end = 0; end < ends; end++) {
        this.finish(a[end], b[end], row, end);
        kindOf[at + end] = numbers.add(this.a, this.b);
      }
      if (numbers.count > most) return null;
    }
    return { kindOf, kinds: numbers.count };
  }

  /** Takes the row that comes into reach into the ends' sums and the one that leaves it out of them. */
  private shift(
    a: Int32Array,
    b: Int32Array,
    comes: number,
    leaves: number,
    lastA: number,
    lastB: number,
    mask: number,
  ): void {
    const { rows, ends, wordsPerRow, bits } = this.drawdown;
    const { reach } = this;
    const inComes = comes < rows;
    const inLeaves = leaves >= 0;
    const atComes = comes * wordsPerRow;
    const atLeaves = leaves * wordsPerRow;
    let now = 0;
    let old = 0;
    for (let i = -reach; i < ends; i++) {
      const right = i + reach;
      now = (now << 1) & mask;
      old = (old << 1) & mask;
      if (right < ends) {
        if (inComes) now |= (bits[atComes + (right >>> 5)] >>> (right & 31)) & 1;
        if (inLeaves) old |= (bits[atLeaves + (right >>> 5)] >>> (right & 31)) & 1;
      }
      if (i < 0) continue;
      a[i] = (Math.imul(a[i] - Math.imul(old, lastA), FIRST) + now) | 0;
      b[i] = (Math.imul(b[i] - Math.imul(old, lastB), SECOND) + now) | 0;
    }
  }
}
