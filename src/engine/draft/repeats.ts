import { distinctEnds, distinctPicks } from './distinct.ts';
import type { Drawdown } from './drawdown.ts';

/**
 * The smallest p with sequence[i] = sequence[i + p] throughout. The last repeat may be cut short; a sequence that does
 * not repeat has its own length as period, an empty one 0. (Knuth, Morris & Pratt 1977, prefix function.)
 */
export function smallestPeriod(sequence: ArrayLike<unknown>): number {
  const n = sequence.length;
  if (n === 0) return 0;
  const border = new Uint32Array(n);
  let k = 0;
  for (let i = 1; i < n; i++) {
    while (k > 0 && sequence[i] !== sequence[k]) k = border[k - 1];
    if (sequence[i] === sequence[k]) k++;
    border[i] = k;
  }
  return n - border[n - 1];
}

/** As `smallestPeriod`, but only periods that divide the length, so that the sequence may be laid end to end. */
export function smallestWholePeriod(sequence: ArrayLike<unknown>): number {
  const period = smallestPeriod(sequence);
  return period > 0 && sequence.length % period === 0 ? period : sequence.length;
}

export interface Repeat {
  readonly rows: number;
  readonly ends: number;
}

/**
 * The smallest repeat of a drawdown each way: crossing (row, end) equals crossing (row mod rows, end mod ends).
 * `whole` counts only repeats that fit a whole number of times, as they must where the drawdown is to be continued.
 */
export function smallestRepeat(drawdown: Drawdown, whole = false): Repeat {
  const period = whole ? smallestWholePeriod : smallestPeriod;
  return {
    rows: period(distinctPicks(drawdown).classOf),
    ends: period(distinctEnds(drawdown).classOf),
  };
}

export function greatestCommonDivisor(a: number, b: number): number {
  let x = Math.abs(a);
  let y = Math.abs(b);
  while (y !== 0) [x, y] = [y, x % y];
  return x;
}

/** Where two orders come round together, for instance weave repeat and colour order. 0 where either is 0. */
export function leastCommonMultiple(a: number, b: number): number {
  return a === 0 || b === 0 ? 0 : Math.abs((a / greatestCommonDivisor(a, b)) * b);
}
