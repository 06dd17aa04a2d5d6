import { EXTRA_PIECES } from './clothBufferLayout.ts';

/** Control points of a turn's or tail's quadratic Bézier, one after the other: nine numbers, mm. */
export type ExtraCurve = ArrayLike<number>;

/** The place on it at share s, 0..1, to `out`. */
export function extraPoint(out: { [axis: number]: number }, p: ExtraCurve, s: number): void {
  const r = 1 - s;
  for (let k = 0; k < 3; k++) out[k] = r * r * p[k] + 2 * r * s * p[3 + k] + s * s * p[6 + k];
}

/** How fast the place goes on with the share, mm, to `out`. */
export function extraTangent(out: { [axis: number]: number }, p: ExtraCurve, s: number): void {
  for (let k = 0; k < 3; k++) out[k] = 2 * ((1 - s) * (p[3 + k] - p[k]) + s * (p[6 + k] - p[3 + k]));
}

/** Its length, mm, in the pieces that the walk lays straight (to 1 % of a quarter turn). */
export function extraLength(p: ExtraCurve): number {
  let sum = 0;
  const [from, to] = [new Float64Array(3), new Float64Array(3)];
  extraPoint(from, p, 0);
  for (let k = 1; k <= EXTRA_PIECES; k++) {
    extraPoint(to, p, k / EXTRA_PIECES);
    sum += Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
    from.set(to);
  }
  return sum;
}
