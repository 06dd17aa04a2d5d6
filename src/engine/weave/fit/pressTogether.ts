import type { ShaftSets } from './distinctSets.ts';

/** Indices of the treadles pressed together. */
export type Cover = readonly number[];

/**
 * Treadles, at most so many, that together move exactly a lift's shafts; undefined where none do. Exact: the lowest shaft
 * not yet moved is moved by each of the treadles that can, in turn.
 */
export function coverWith(lift: bigint, treadles: ShaftSets, most: number): Cover | undefined {
  const within: number[] = [];
  let reach = 0n;
  treadles.forEach((treadle, k) => {
    if ((treadle & ~lift) !== 0n) return;
    within.push(k);
    reach |= treadle;
  });
  if (reach !== lift) return undefined;
  const search = (rest: bigint, left: number): number[] | undefined => {
    if (rest === 0n) return [];
    if (left === 0) return undefined;
    const lowest = rest & -rest;
    for (const k of within) {
      if ((treadles[k] & lowest) === 0n) continue;
      const more = search(rest & ~treadles[k], left - 1);
      if (more) return [k, ...more];
    }
    return undefined;
  };
  // One treadle rather than two, where one does.
  for (let count = 1; count <= most; count++) {
    const found = search(lift, count);
    if (found) return found;
  }
  return undefined;
}
