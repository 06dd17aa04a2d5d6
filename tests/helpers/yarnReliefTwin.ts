import {
  clamp01,
  fadeOut,
  flatBetween,
  fract,
  modulo,
  smoothBetween,
  smoothstep,
  strewnCorners,
  TURN,
  units,
  wrappedNoise,
  wrappedNoiseRise,
} from './yarnNoiseTwin.ts';
import type { YarnPlace } from './yarnProbe.ts';

/** Twins of `shaders/yarn/make.glsl`. */

export interface Relief {
  /** Along the thread and around it, height on length. */
  readonly slope: readonly [number, number];
  /** Share of light let in. */
  readonly open: number;
  /** Of the fibres that show, rad from the thread's own direction. */
  readonly slant: number;
}

export const MAKES = ['woven', 'knitted', 'felted', 'braided', 'leaf', 'twill', 'creased'] as const;
export type Make = (typeof MAKES)[number];

const ROUND_SLOPE = 1.1;
const CREASE_DEPTH = 1.5;
const [FOLD_GIRTHS, FOLD_WANDER, FOLD_EDGE] = [2, 0.8, 2];

const acrossOne = (x: number) => 2 * fract(x) - 1;
const timesAround = (girthMm: number, periodMm: number, least: number) =>
  Math.max(least, Math.floor(girthMm / periodMm + 0.5));

export interface MadeOf {
  readonly kind: Make;
  readonly acrossMm: number;
  readonly alongMm: number;
}

/**
 * @param turn of the thread's section at the place, turns
 * @param alongMm with the pattern's own start
 * @param rise slope of a woven strip's threads
 */
export function makeRelief(place: YarnPlace, made: MadeOf, turn: number, alongMm: number, rise: number): Relief {
  const girthMm = TURN * place.radiusMm;
  const shown = fadeOut(Math.min(made.acrossMm, made.alongMm), place.pixelMm);
  const u = alongMm / made.alongMm;
  if (made.kind === 'woven' || made.kind === 'twill') {
    const least = made.kind === 'twill' ? 3 : 2;
    const v = turn * least * timesAround(girthMm / least, made.acrossMm, 1);
    const sum = Math.floor(v) + Math.floor(u);
    const lengthwise = made.kind === 'twill' ? modulo(sum, 3) !== 0 : modulo(sum, 2) === 0;
    const [a, l] = [acrossOne(v), acrossOne(u)];
    const corner = Math.abs(lengthwise ? a : l) ** 3;
    const over: readonly [number, number] = lengthwise ? [0.45 * l, a] : [l, 0.45 * a];
    return relief(over, -rise * shown, 1 - 0.4 * rise * shown * corner, lengthwise ? 0 : Math.PI / 2);
  }
  if (made.kind === 'knitted') {
    const v = turn * timesAround(girthMm, made.acrossMm, 3);
    const x = acrossOne(v);
    const l = acrossOne(u - 0.55 * Math.abs(x));
    const leg = acrossOne(2 * fract(v));
    const deep = Math.max(leg ** 4, l ** 6);
    return relief([0.7 * l, 0.8 * leg], -ROUND_SLOPE * shown, 1 - 0.55 * shown * deep, 0.5 * Math.sign(x));
  }
  if (made.kind === 'braided') {
    const n = timesAround(girthMm, made.acrossMm, 4);
    const [p, q] = [turn * n + u, turn * n - u];
    const rightward = modulo(Math.floor(p) + Math.floor(q), 2) === 0;
    const [a, l] = [acrossOne(rightward ? q : p), acrossOne(rightward ? p : q)];
    const s = Math.SQRT1_2;
    const along = rightward ? -s * a + 0.5 * s * l : s * a - 0.5 * s * l;
    const deep = Math.max(a ** 4, l ** 6);
    const slant = ((rightward ? 1 : -1) * Math.PI) / 4;
    return relief([along, s * a + 0.5 * s * l], -ROUND_SLOPE * shown, 1 - 0.55 * shown * deep, slant);
  }
  return strewnRelief(place, made, turn, u, girthMm, shown);
}

function strewnRelief(
  { thread }: YarnPlace,
  made: MadeOf,
  turn: number,
  u: number,
  girthMm: number,
  shown: number,
): Relief {
  const around = timesAround(girthMm, made.acrossMm, 3);
  const x = turn * around;
  const corners = strewnCorners(Math.floor(x), Math.floor(u), around, thread);
  const aspect = made.acrossMm / made.alongMm;
  if (made.kind === 'creased') {
    const [height, rx, ry] = flatBetween(corners, fract(x), fract(u));
    return relief([ry * aspect, rx], CREASE_DEPTH * shown, 1 - 0.45 * shown * (1 - height), 0);
  }
  const [height, rx, ry] = smoothBetween(corners, fract(x), fract(u));
  const open = 1 - 0.35 * shown * (1 - height);
  if (made.kind === 'leaf') return relief([Math.min(1, 3 * aspect) * ry, rx], 1.1 * shown, open, 0);
  return relief([ry, rx], 0.5 * shown, open, TURN * wrappedNoise(3 * x, 3 * u, 3 * around, thread + 9173));
}

function relief([along, around]: readonly [number, number], scale: number, open: number, slant: number): Relief {
  return { slope: [along * scale, around * scale], open, slant };
}

export interface Fold {
  readonly slope: readonly [number, number];
  readonly open: number;
  /** How far along the layer's own pattern lies, mm. */
  readonly movedMm: number;
}

/** @param folds layers round the thread @param thickMm of the cloth */
export function foldAt(
  { around, alongMm, radiusMm, thread, pixelMm }: YarnPlace,
  folds: number,
  thickMm: number,
): Fold {
  const girthMm = TURN * radiusMm;
  const widthMm = girthMm / folds;
  const shown = fadeOut(widthMm, pixelMm);
  const run = alongMm / (FOLD_GIRTHS * girthMm);
  const turn = around / TURN + 0.5;
  const v = turn * folds + FOLD_WANDER * (wrappedNoise(turn * folds, run, folds, thread + 611) - 0.5);
  const layer = modulo(Math.floor(v), folds);
  const edge = Math.min(0.45, (FOLD_EDGE * thickMm) / widthMm);
  const stands = (of: number) => smoothstep(0.2, 0.6, wrappedNoise(of, 1.7 * run, folds, thread + 4211));
  const rim = clamp01((fract(v) - 1 + edge) / edge);
  const across = stands(layer) * (thickMm / widthMm - 1.1 * rim * rim * (3 - 2 * rim));
  const [, rx, ry] = wrappedNoiseRise(turn * folds, alongMm / (1.2 * girthMm), folds, thread + 97);
  const shade = 0.75 * stands(layer - 1) * (1 - smoothstep(0, edge, fract(v)));
  return {
    slope: [shown * 0.15 * ry, shown * (across + 0.5 * rx)],
    open: 1 - shown * shade,
    movedMm: 3 * units(layer + 64, thread, 157)[0],
  };
}
