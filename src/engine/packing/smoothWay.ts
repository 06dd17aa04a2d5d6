/** x, y, z, mm. */
export type Point = readonly [number, number, number];
/** A quadratic Bézier, mm. */
export type TailPiece = readonly [Point, Point, Point];

export const between = (a: Point, b: Point): Point => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];

const same = (a: Point, b: Point) => a.every((value, k) => value === b[k]);

/**
 * A thread's way from the first place to the last, bent through those between, so that neighbouring pieces join without a corner.
 * A place that is named twice running counts once: a piece that ends at its own middle point would have no direction there.
 */
export function smoothWay(places: readonly Point[]): readonly TailPiece[] {
  const way = places.filter((place, k) => k === 0 || !same(place, places[k - 1]));
  if (way.length < 2) return [];
  if (way.length === 2) return [[way[0], between(way[0], way[1]), way[1]]];
  const pieces: TailPiece[] = [];
  let last = way[0];
  for (let k = 1; k < way.length - 1; k++) {
    const end = k === way.length - 2 ? way[k + 1] : between(way[k], way[k + 1]);
    pieces.push([last, way[k], end]);
    last = end;
  }
  return pieces;
}
