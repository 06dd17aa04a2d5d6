import type { YarnHair } from '#engine/yarn/hair.ts';

/** Most that a hair turns, rad: a quadratic curve is still near an arc. */
const MOST_TURN = 2.2;
/** Steps in which the length that there is room for is sought, halving what is left each time. */
const HALVINGS = 8;
/** So often is the way of a hair drawn for which there is no room. */
const DRAWS = 6;
/** Words of a draw, beside the next one's. */
const WORDS = 16;
/** Steepest lean, rad: no hair lies in the surface. */
const STEEPEST_LEAN = 1.5;

/** Three points of a hair: place along its cell, mm; height over the surface, mm; angle from its sector's first side, rad. */
export type ArcPoints = readonly (readonly [number, number, number])[];

/** Room of a hair: length of its cell mm, angle of its sector rad, radius of the body, least and greatest height over it, mm. */
export interface ArcRoom {
  readonly alongMm: number;
  readonly aroundRad: number;
  readonly radiusMm: number;
  /** Where it lies on the body. */
  readonly restMm: number;
  readonly heightMm: number;
}

interface Laid {
  readonly points: ArcPoints;
  readonly along: readonly [number, number];
  readonly around: readonly [number, number];
  readonly fits: boolean;
}

/**
 * A hair that bends evenly all along, in its cell: as long as told, or as there is room for.
 * @param curvature of this hair, rad/mm
 * @param unit evenly spread numbers of the hair, 0..1, each by its own word
 */
export function layArc(
  { leanMeanRad }: YarnHair,
  curvature: number,
  length: number,
  room: ArcRoom,
  unit: (word: number) => number,
): ArcPoints {
  let [longest, best] = [-1, layIn(room, arcOf(0, 0, 0, 0, 0))];
  for (let draw = 0; draw < DRAWS && longest < length; draw++) {
    const word = (of: number) => unit(of + WORDS * draw);
    const lean = Math.min(STEEPEST_LEAN, 2 * leanMeanRad * word(1));
    const way = 2 * Math.PI * word(2);
    // Pressed down by weaving and wear it bends over or aside, not up (estimate).
    const plane = Math.PI * (word(3) - 0.5);
    const lay = (of: number) => layIn(room, arcOf(of, curvature, lean, way, plane));
    const fits = longestThatFits(length, lay);
    if (fits > longest) [longest, best] = [fits, lay(fits)];
  }
  const { points, along, around } = best;
  const x0 = unit(4) * (room.alongMm - (along[1] - along[0])) - along[0];
  const phi0 = unit(5) * (room.aroundRad - (around[1] - around[0])) - around[0];
  return points.map(([x, height, phi]) => [x0 + x, height, phi0 + phi] as const);
}

function longestThatFits(length: number, lay: (length: number) => Laid): number {
  if (lay(length).fits) return length;
  let [fits, not] = [0, length];
  for (let k = 0; k < HALVINGS; k++) {
    const middle = (fits + not) / 2;
    if (lay(middle).fits) fits = middle;
    else not = middle;
  }
  return fits;
}

type Vector = readonly [number, number, number];

/**
 * Root, control point and tip of an arc: along, around and up from the root, mm. It leaves at `lean` from upright, to `way` along
 * the surface, and bends over that way, or by `plane` aside of it. The control point stands where the curve's middle is the arc's.
 */
function arcOf(length: number, curvature: number, lean: number, way: number, plane: number): readonly Vector[] {
  const turn = Math.min(MOST_TURN, length * curvature);
  const chord = turn > 1e-6 ? (length * Math.sin(turn / 2)) / (turn / 2) : length;
  const [sinLean, cosLean, sinWay, cosWay] = [Math.sin(lean), Math.cos(lean), Math.sin(way), Math.cos(way)];
  const out: Vector = [sinLean * cosWay, sinLean * sinWay, cosLean];
  const over: Vector = [cosLean * cosWay, cosLean * sinWay, -sinLean];
  const aside: Vector = [-sinWay, cosWay, 0];
  // How far outwards and how far towards where it bends.
  const at = (u: number, v: number): Vector => {
    const [o, s] = [v * Math.cos(plane), v * Math.sin(plane)];
    return [0, 1, 2].map((axis) => u * out[axis] + o * over[axis] + s * aside[axis]) as unknown as Vector;
  };
  const [sin, cos] = [Math.sin(turn / 2), Math.cos(turn / 2)];
  const rise = chord * Math.tan(turn / 4);
  return [[0, 0, 0], at((chord / 2) * cos + rise * sin, (chord / 2) * sin - rise * cos), at(chord * cos, chord * sin)];
}

/** Those points about a round body, and whether there is room for them. */
function layIn({ alongMm, aroundRad, radiusMm, restMm, heightMm }: ArcRoom, arc: readonly Vector[]): Laid {
  const points = arc.map(([x, y, z]) => {
    const high = Math.hypot(y, radiusMm + z) - radiusMm;
    return [x, Math.max(restMm, high), Math.atan2(y, radiusMm + z)] as const;
  });
  const along = rangeOf(points.map(([x]) => x));
  const around = rangeOf(points.map(([, , phi]) => phi));
  const [, bend, tip] = points.map(([, high]) => high);
  const fits =
    along[1] - along[0] <= alongMm &&
    around[1] - around[0] <= aroundRad &&
    Math.max(tip, bend / 2 + tip / 4) <= heightMm;
  return { points, along, around, fits };
}

function rangeOf(values: readonly number[]): [number, number] {
  return [Math.min(...values), Math.max(...values)];
}
