import { EXTRA_PIECES } from './clothBufferLayout.ts';

/** Length of a turn's or tail's quadratic Bézier, mm, in the pieces that the walk lays straight (to 1 % of a quarter turn). */
export function extraLength(p0: ArrayLike<number>, p1: ArrayLike<number>, p2: ArrayLike<number>): number {
  let sum = 0;
  const from = [p0[0], p0[1], p0[2]];
  const to = [0, 0, 0];
  for (let k = 1; k <= EXTRA_PIECES; k++) {
    const s = k / EXTRA_PIECES;
    const r = 1 - s;
    for (let axis = 0; axis < 3; axis++) to[axis] = r * r * p0[axis] + 2 * r * s * p1[axis] + s * s * p2[axis];
    sum += Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
    for (let axis = 0; axis < 3; axis++) from[axis] = to[axis];
  }
  return sum;
}
