import { rowsPerPause } from '#engine/cloth/pauses.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { PairNumbers } from './pairNumbers.ts';
import type { ThreadKeys } from './threadKeys.ts';

/** Odd multipliers of two sums modulo 2³² (Knuth's 2654435761, and one of P. L'Ecuyer 1999): alike by chance once in 2⁶⁴. */
const FIRST = -1640531535;
const SECOND = 1181783497;
/** Key of what lies beyond the edges. */
const BEYOND = 0x5bd1e995;

/** Kinds of some crossings, and the two sums of each kind's neighbourhood. */
export interface NumberedRows {
  readonly kindOf: Uint32Array;
  readonly a: Int32Array;
  readonly b: Int32Array;
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

  /** Lifts about an end of a row as a number, the leftmost lowest; 0 beyond the edges. */
  private liftsAt(row: number, end: number): number {
    const { rows, ends, wordsPerRow, bits } = this.drawdown;
    if (row < 0 || row >= rows) return 0;
    const { reach } = this;
    const from = Math.max(0, end - reach);
    const count = Math.min(ends, end + reach + 1) - from;
    const at = row * wordsPerRow + (from >>> 5);
    const shift = from & 31;
    let lifts = bits[at] >>> shift;
    if (shift + count > 32) lifts |= bits[at + 1] << (32 - shift);
    return (lifts & (-1 >>> (32 - count))) << (from - end + reach);
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

  /** Numbers the neighbourhoods of rows first .. to − 1, row-major, in the order met. Pauses now and then. */
  *numberRows(first: number, to: number): Generator<void, NumberedRows> {
    const { ends } = this.drawdown;
    const { reach } = this;
    const width = 2 * reach + 1;
    const numbers = new PairNumbers();
    const kindOf = new Uint32Array((to - first) * ends);
    const a = new Int32Array(ends);
    const b = new Int32Array(ends);
    let lastA = 1;
    let lastB = 1;
    for (let k = 0; k < width - 1; k++) {
      lastA = Math.imul(lastA, FIRST);
      lastB = Math.imul(lastB, SECOND);
    }
    const step = rowsPerPause(ends);
    // Lifts of rows beyond the edges are 0.
    for (let j = Math.max(0, first - reach); j < first + reach; j++) this.shift(a, b, j, -1, lastA, lastB);
    for (let row = first; row < to; row++) {
      if (row % step === step - 1) yield;
      this.shift(a, b, row + reach, row > first ? row - reach - 1 : -1, lastA, lastB);
      const at = (row - first) * ends;
      for (let end = 0; end < ends; end++) {
        this.finish(a[end], b[end], row, end);
        kindOf[at + end] = numbers.add(this.a, this.b);
      }
    }
    return { kindOf, ...numbers.pairs() };
  }

  /** Takes the row that comes into reach into the ends' sums and the one that leaves it out of them. */
  private shift(a: Int32Array, b: Int32Array, comes: number, leaves: number, lastA: number, lastB: number): void {
    const { rows, ends, wordsPerRow, bits } = this.drawdown;
    const { reach } = this;
    const inComes = comes < rows;
    const inLeaves = leaves >= 0;
    const last = 2 * reach;
    const atComes = comes * wordsPerRow;
    const atLeaves = leaves * wordsPerRow;
    let now = 0;
    let old = 0;
    for (let i = -reach; i < ends; i++) {
      const right = i + reach;
      now >>>= 1;
      old >>>= 1;
      if (right < ends) {
        if (inComes) now |= ((bits[atComes + (right >>> 5)] >>> (right & 31)) & 1) << last;
        if (inLeaves) old |= ((bits[atLeaves + (right >>> 5)] >>> (right & 31)) & 1) << last;
      }
      if (i < 0) continue;
      a[i] = (Math.imul(a[i] - Math.imul(old, lastA), FIRST) + now) | 0;
      b[i] = (Math.imul(b[i] - Math.imul(old, lastB), SECOND) + now) | 0;
    }
  }
}
