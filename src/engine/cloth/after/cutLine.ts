import type { ClothPlace } from './afterTypes.ts';

export interface PointMm {
  readonly x: number;
  readonly y: number;
}

/** Where a decimal place in an ascending list of positions lies; beyond its ends it goes on by the mean pitch. */
function positionAt(positions: ArrayLike<number>, at: number): number {
  const last = positions.length - 1;
  const pitch = last > 0 ? (positions[last] - positions[0]) / last : 1;
  if (at <= 0) return positions[0] + at * pitch;
  if (at >= last) return positions[last] + (at - last) * pitch;
  const k = Math.floor(at);
  return positions[k] + (at - k) * (positions[k + 1] - positions[k]);
}

/** The inverse of `positionAt`. */
function placeAmong(positions: ArrayLike<number>, mm: number): number {
  const last = positions.length - 1;
  const pitch = last > 0 ? (positions[last] - positions[0]) / last : 1;
  if (mm <= positions[0]) return (mm - positions[0]) / pitch;
  if (mm >= positions[last]) return last + (mm - positions[last]) / pitch;
  let lo = 0;
  let hi = last;
  while (hi - lo > 1) {
    const middle = (lo + hi) >> 1;
    if (positions[middle] <= mm) lo = middle;
    else hi = middle;
  }
  return lo + (mm - positions[lo]) / (positions[hi] - positions[lo] || 1);
}

/** A point of the cloth by end and pick. */
export function placeOf({ x, y }: PointMm, endXMm: ArrayLike<number>, pickYMm: ArrayLike<number>): ClothPlace {
  return { end: placeAmong(endXMm, x) + 1, pick: placeAmong(pickYMm, y) + 1 };
}

/** Position of each pick up the cloth: that of its first row. */
export function pickPositions(rowPick: ArrayLike<number>, rowYMm: ArrayLike<number>): number[] {
  const places: number[] = [];
  for (let row = 0; row < rowPick.length; row++) places[rowPick[row]] ??= rowYMm[row];
  return places;
}

/** Places on the cloth in mm, from the positions of its ends and of its picks. */
export function pointsOf(
  line: readonly ClothPlace[],
  endXMm: ArrayLike<number>,
  pickYMm: ArrayLike<number>,
): PointMm[] {
  return line.map(({ end, pick }) => ({ x: positionAt(endXMm, end - 1), y: positionAt(pickYMm, pick - 1) }));
}

/** A line on the cloth: where threads cross it, and what lies within it. */
export interface CutLine {
  /** Corners in turn; of an open line drawn through, those of the part to its left. */
  readonly outline: readonly PointMm[];
  /** The pieces of the line itself. */
  readonly pieces: readonly (readonly [PointMm, PointMm])[];
}

/** A line as drawn, from place to place; closed, its inside is its outline. */
export function drawnLine(points: readonly PointMm[], closed: boolean): CutLine {
  const pieces = points.slice(1).map((point, k) => [points[k], point] as const);
  if (closed) pieces.push([points[points.length - 1], points[0]]);
  return { outline: points, pieces };
}

/**
 * An open line made to part the whole cloth: it goes straight on beyond both ends, and its outline runs round the cloth on its
 * left, as one follows it.
 * @param reach farther than the cloth lies from anywhere on the line, mm
 */
export function partingLine(points: readonly PointMm[], reach: number): CutLine {
  const on = (from: PointMm, to: PointMm): PointMm => {
    const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
    return { x: to.x + (reach * (to.x - from.x)) / length, y: to.y + (reach * (to.y - from.y)) / length };
  };
  const last = points.length - 1;
  const start = on(points[1], points[0]);
  const stop = on(points[last - 1], points[last]);
  const line = [start, ...points, stop];
  // Back from the end to the start on the left: counterclockwise about the middle, well outside.
  const middle = { x: (points[0].x + points[last].x) / 2, y: (points[0].y + points[last].y) / 2 };
  const angle = (point: PointMm) => Math.atan2(point.y - middle.y, point.x - middle.x);
  const from = angle(stop);
  let sweep = angle(start) - from;
  while (sweep <= 0) sweep += 2 * Math.PI;
  const STEPS = 32;
  const arc = Array.from({ length: STEPS - 1 }, (_, k) => {
    const at = from + (sweep * (k + 1)) / STEPS;
    return { x: middle.x + 3 * reach * Math.cos(at), y: middle.y + 3 * reach * Math.sin(at) };
  });
  return { outline: [...line, ...arc], pieces: line.slice(1).map((point, k) => [line[k], point] as const) };
}

/** Even–odd rule (M. Shimrat 1962, Commun. ACM 5, 434). */
export function isInside({ outline }: CutLine, x: number, y: number): boolean {
  let inside = false;
  for (let k = 0, j = outline.length - 1; k < outline.length; j = k++) {
    const a = outline[k];
    const b = outline[j];
    if (a.y > y !== b.y > y && x < ((b.x - a.x) * (y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

/**
 * Places, mm along the thread's axis, at which a thread that runs straight crosses the line, ascending.
 * @param warp runs up the cloth at x = `at`; else across it at y = `at`
 */
export function crossingsOf({ pieces }: CutLine, warp: boolean, at: number): number[] {
  const found: number[] = [];
  for (const [a, b] of pieces) {
    const [a0, a1] = warp ? [a.x, a.y] : [a.y, a.x];
    const [b0, b1] = warp ? [b.x, b.y] : [b.y, b.x];
    if (a0 > at !== b0 > at) found.push(a1 + ((b1 - a1) * (at - a0)) / (b0 - a0));
  }
  return found.sort((a, b) => a - b);
}
