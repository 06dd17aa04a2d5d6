import { type Hash3, hash3, unitFromHash } from '#engine/scatter/hash3.ts';

/** Twins of `shaders/yarn/place.glsl`. */

export const TURN = 2 * Math.PI;

const words: Hash3 = new Uint32Array(3);

/** Three numbers 0..1 of three whole ones. */
export function units(x: number, y: number, z: number): readonly [number, number, number] {
  hash3(words, x, y, z);
  return [unitFromHash(words[0]), unitFromHash(words[1]), unitFromHash(words[2])];
}

export const fract = (x: number): number => x - Math.floor(x);
export const mix = (a: number, b: number, t: number): number => a + (b - a) * t;
export const clamp01 = (x: number): number => Math.min(1, Math.max(0, x));

/** Remainder that is never below 0. */
export const modulo = (x: number, n: number): number => ((x % n) + n) % n;

export function smoothstep(from: number, to: number, x: number): number {
  const t = clamp01((x - from) / (to - from));
  return t * t * (3 - 2 * t);
}

export function fadeOut(periodMm: number, pixelMm: number): number {
  return smoothstep(1, 2, periodMm / Math.max(2 * pixelMm, 1e-6));
}

/** At a cell's corners: lower left, lower right, upper left, upper right. */
export type Corners = readonly [number, number, number, number];
/** Height, and how it rises in x and in y. */
export type Rise = readonly [number, number, number];

export function strewnCorners(cellX: number, cellY: number, period: number, seed: number): Corners {
  const x0 = modulo(cellX, period);
  const x1 = (x0 + 1) % period;
  const at = (x: number, y: number) => units(x, y, seed)[0];
  return [at(x0, cellY), at(x1, cellY), at(x0, cellY + 1), at(x1, cellY + 1)];
}

/** By bilinear weights of eased coordinates, and their derivatives. */
export function smoothBetween([a, b, c, d]: Corners, x: number, y: number): Rise {
  const ease = (t: number) => t * t * (3 - 2 * t);
  const rate = (t: number) => 6 * t * (1 - t);
  const [u, v] = [ease(x), ease(y)];
  return [
    a * (1 - u) * (1 - v) + b * u * (1 - v) + c * (1 - u) * v + d * u * v,
    rate(x) * ((b - a) * (1 - v) + (d - c) * v),
    rate(y) * ((c - a) * (1 - u) + (d - b) * u),
  ];
}

/** By the plane through the three nearest corners of the cell's lower left or upper right half. */
export function flatBetween([a, b, c, d]: Corners, x: number, y: number): Rise {
  if (x + y < 1) return [a + (b - a) * x + (c - a) * y, b - a, c - a];
  return [d + (d - c) * (x - 1) + (d - b) * (y - 1), d - c, d - b];
}

export function wrappedNoiseRise(x: number, y: number, period: number, seed: number): Rise {
  const corners = strewnCorners(Math.floor(x), Math.floor(y), period, seed);
  return smoothBetween(corners, fract(x), fract(y));
}

export function wrappedNoise(x: number, y: number, period: number, seed: number): number {
  return wrappedNoiseRise(x, y, period, seed)[0];
}
