import type { HeightsProblem } from './heightsTypes.ts';

/** Share of thread n of `count` that belongs to a region: where a cloth is reflected in its outermost threads, half of these. */
export function borderShare(boundary: HeightsProblem['boundary'], n: number, count: number): number {
  return boundary === 'mirrored' && count > 1 && (n === 0 || n === count - 1) ? 0.5 : 1;
}
