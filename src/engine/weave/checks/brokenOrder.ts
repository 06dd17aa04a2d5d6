import { brokenPartMirror, isMirrorMiddle } from './brokenPartMirror.ts';

/** One thread at which an order that else goes through breaks. */
export interface Break {
  /** Thread from 0: of a missing one, the thread before which it should stand. */
  readonly at: number;
  readonly what: 'missing' | 'extra' | 'other';
  /** Threads to a repeat; undefined where it is a mirror. */
  readonly repeat?: number;
  /** Of a mirror over part of the threads, the first and the last of them, from 0. */
  readonly within?: readonly [from: number, to: number];
}

/** An order is told from chance by so many repeats. */
const LEAST_REPEATS = 4;
const LEAST_THREADS = 12;
/** A mirror is told from chance by so many stripes. */
const LEAST_STRIPES = 6;

/**
 * The one thread that breaks a repeating order, or a mirror of the whole or of a part; undefined where the order goes through, or breaks at more
 * than one place. A repeat that is whole on either side of one missing or extra thread is found by its mismatches with
 * itself, which then lie within one repeat.
 */
export function brokenOrder(order: ArrayLike<number>): Break | undefined {
  const n = order.length;
  if (n < LEAST_THREADS) return undefined;
  for (let repeat = 1; repeat * LEAST_REPEATS <= n; repeat++) {
    let first = 0;
    while (first + repeat < n && order[first] === order[first + repeat]) first++;
    if (first + repeat >= n) return undefined;
    if (first < repeat) continue;
    let last = n - 1 - repeat;
    while (order[last] === order[last + repeat]) last--;
    if (last - first > repeat || last + repeat > n - 1 - repeat) continue;
    const what = mend(order, first + repeat, repeat);
    if (what) return { at: first + repeat, what, repeat };
  }
  return brokenMirror(order) ?? brokenPartMirror(order);
}

function mend(order: ArrayLike<number>, at: number, repeat: number): Break['what'] | undefined {
  const list = Array.from(order);
  const goesThrough = (mended: readonly number[]) =>
    mended.every((value, k) => k < repeat || value === mended[k - repeat]);
  const expected = list[at - repeat];
  if (goesThrough([...list.slice(0, at), expected, ...list.slice(at + 1)])) return 'other';
  if (goesThrough([...list.slice(0, at), ...list.slice(at + 1)])) return 'extra';
  if (goesThrough([...list.slice(0, at), expected, ...list.slice(at)])) return 'missing';
  return undefined;
}

function brokenMirror(order: ArrayLike<number>): Break | undefined {
  let stripes = 1;
  for (let k = 1; k < order.length; k++) if (order[k] !== order[k - 1]) stripes++;
  if (stripes < LEAST_STRIPES) return undefined;
  let low = 0;
  let high = order.length - 1;
  while (low < high && order[low] === order[high]) {
    low++;
    high--;
  }
  // A mirror is only believed where it holds for a quarter of the threads on either side.
  if (low >= high || 4 * low < order.length) return undefined;
  // One more on one side is one less on the other, and likelier than one exchanged.
  if (isMirror(order, low + 1, high)) return { at: low, what: 'extra' };
  if (isMirror(order, low, high - 1)) return { at: high, what: 'extra' };
  if (isMirror(order, low + 1, high - 1)) return { at: low, what: 'other' };
  return undefined;
}

function isMirror(order: ArrayLike<number>, from: number, to: number): boolean {
  let low = from;
  let high = to;
  while (low < high && order[low] === order[high]) {
    low++;
    high--;
  }
  return low >= high;
}

/** A lone thread stands out where its neighbours' kinds occur at least so often. */
const OFTEN = 4;
/** So near an edge threads are the selvedge’s. */
const AT_EDGE = 4;
/** More lone threads than this are a design. */
const MOST_LONE = 2;

/** Threads of which there is no other in the order, away from its edges and the middles of its mirrors. */
export function loneThreads(order: ArrayLike<number>): number[] {
  const n = order.length;
  if (n < LEAST_THREADS) return [];
  const counts = new Map<number, number>();
  for (let k = 0; k < n; k++) counts.set(order[k], (counts.get(order[k]) ?? 0) + 1);
  const lone: number[] = [];
  let alone = 0;
  for (let k = 0; k < n; k++) {
    if (counts.get(order[k]) !== 1) continue;
    if (++alone > MOST_LONE) return [];
    if (k < AT_EDGE || k >= n - AT_EDGE || Math.abs(2 * k - (n - 1)) <= 1) continue;
    if ((counts.get(order[k - 1]) ?? 0) < OFTEN || (counts.get(order[k + 1]) ?? 0) < OFTEN) continue;
    if (!isMirrorMiddle(order, k)) lone.push(k);
  }
  return lone;
}
