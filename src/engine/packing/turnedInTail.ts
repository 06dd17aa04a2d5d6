import { type ClothGeometry, type ClothProblem, RowEnd, RowTails } from '#engine/cloth/clothTypes.ts';
import type { ClothLines } from './packLines.ts';
import { type Point, smoothWay, type TailPiece } from './smoothWay.ts';

export interface TailStart {
  readonly row: number;
  /** 1 at the right edge, −1 at the left. */
  readonly side: number;
  /** Where the weft passes its last end there, and its half section. */
  readonly from: {
    readonly x: number;
    readonly y: number;
    readonly z: number;
    readonly halfWidth: number;
    readonly halfHeight: number;
  };
}

/** Two wefts in one shed lie closer than side by side: they press into each other's flanks (an estimate). */
const SIDE_BY_SIDE = 0.8;

/**
 * The tail of a cut weft where it does not hang as fringe: round the outermost end and back, in the next pick's shed beside
 * that pick (tucked), or behind the cloth (folded). Empty where it is fringe, where no pick follows to hold it, or where it
 * is too short to come round. For the picture; its thickness is not part of the heights.
 */
export function turnedInTail(
  problem: ClothProblem,
  geometry: ClothGeometry,
  lines: ClothLines,
  { row, side, from }: TailStart,
): readonly TailPiece[] {
  const tails = problem.rowTails?.[row] ?? RowTails.fringe;
  if (tails === RowTails.fringe || problem.rowEnd[row] !== RowEnd.cut) return [];
  const edge = side > 0 ? problem.rowLast[row] : problem.rowFirst[row];
  const turnMm = problem.yarns[problem.endYarn[edge]].contactWidthMm / 2 + from.halfWidth;
  const insideMm = problem.rowTailMm[row] - 2 * turnMm;
  if (insideMm <= 0) return [];
  const way =
    tails === RowTails.folded
      ? wayBehind(geometry, row, edge, side, insideMm, from)
      : wayInNextShed(problem, geometry, lines, row, edge, side, insideMm, from);
  if (way.length < 2) return [];
  const outX = geometry.endXMm[edge] + side * turnMm;
  const [x, y, z] = way[0];
  const start: Point = [from.x, from.y, from.z];
  const middle: Point = [outX, (from.y + y) / 2, (from.z + z) / 2];
  return [[start, [outX, from.y, from.z], middle], [middle, [outX, y, z], [x, y, z]], ...smoothWay(way)];
}

const node = ({ periodRows, periodEnds }: ClothGeometry, row: number, end: number) =>
  (row % periodRows) * periodEnds + (end % periodEnds);

/** Ends from the edge inwards that a way of this length passes. */
function endsPassed(geometry: ClothGeometry, edge: number, side: number, insideMm: number): number[] {
  const passed: number[] = [];
  for (let end = edge; end >= 0 && end < geometry.ends; end -= side) {
    if (Math.abs(geometry.endXMm[end] - geometry.endXMm[edge]) > insideMm) break;
    passed.push(end);
  }
  return passed;
}

/** Over and under the same ends as the next pick that passes the edge, on the side of it that faces the cut one. */
function wayInNextShed(
  problem: ClothProblem,
  geometry: ClothGeometry,
  lines: ClothLines,
  row: number,
  edge: number,
  side: number,
  insideMm: number,
  from: TailStart['from'],
): Point[] {
  let next = row + 1;
  const passes = () => edge >= problem.rowFirst[next] && edge <= problem.rowLast[next];
  while (next < problem.rows && !(problem.rowPick[next] > problem.rowPick[row] && passes())) next++;
  if (next >= problem.rows) return [];
  const body = problem.yarns[problem.rowYarn[next]];
  const ends = endsPassed(geometry, edge, side, insideMm);
  return ends
    .filter((end) => end >= problem.rowFirst[next] && end <= problem.rowLast[next])
    .map((end) => {
      const k = node(geometry, next, end);
      const half = (body.contactWidthMm / 2) * geometry.weft.widthFactor[k];
      const y = lines.yMm[lines.lineOfRow[next]] + geometry.weft.offsetMm[k];
      return [
        geometry.endXMm[end],
        Math.max(from.y, y - SIDE_BY_SIDE * (half + from.halfWidth)),
        geometry.weft.heightMm[k],
      ];
    });
}

/** Straight back behind every end and pick that it passes. */
function wayBehind(
  geometry: ClothGeometry,
  row: number,
  edge: number,
  side: number,
  insideMm: number,
  from: TailStart['from'],
): Point[] {
  const ends = endsPassed(geometry, edge, side, insideMm);
  let lowest = from.z;
  for (const end of ends) {
    const k = node(geometry, row, end);
    lowest = Math.min(lowest, geometry.warp.heightMm[k], geometry.weft.heightMm[k]);
  }
  const z = lowest - 2 * from.halfHeight;
  return ends.map((end) => [geometry.endXMm[end], from.y, z]);
}
