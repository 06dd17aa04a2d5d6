import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsProblem, HeightsSolution } from './heightsTypes.ts';

/**
 * Most that the height between two centre lines grows over the upright sum D. Beyond it (slopes of about 0.7 both ways)
 * threads no longer lie across one another at a node as straight cylinders would.
 */
const MOST_GROWTH = 1.4;

/** Slopes at the nodes, laid out as the heights of the splitting's state. */
export interface NodeSlopes {
  readonly warp: Float64Array;
  readonly weft: Float64Array;
}

/** Half height, in the vertical direction, that a section of the given semi-axes takes where its thread and the crossed one slope. */
export function tiltedHalfHeight(
  halfHeight: number,
  halfWidth: number,
  ownSlope: number,
  crossedSlope: number,
): number {
  return Math.sqrt(
    halfHeight * halfHeight * (1 + ownSlope * ownSlope) + halfWidth * halfWidth * crossedSlope * crossedSlope,
  );
}

/** The gap that a crossing needs at the given slopes of warp (s) and weft (t). */
function neededGap(problem: HeightsProblem, row: number, end: number, s: number, t: number): number {
  const bw = problem.endHalfHeightMm[end];
  const bf = problem.rowHalfHeightMm[row];
  return Math.min(
    MOST_GROWTH * (bw + bf),
    tiltedHalfHeight(bw, problem.endHalfWidthMm[end], s, t) + tiltedHalfHeight(bf, problem.rowHalfWidthMm[row], t, s),
  );
}

/** Sets the gaps of rows fromRow .. toRow − 1 to the slopes of an earlier solution. */
export function tiltGapsAsBefore(
  problem: HeightsProblem,
  grid: CrossingGrid,
  earlier: HeightsSolution,
  fromRow: number,
  toRow: number,
): void {
  const { ends, gap } = grid;
  for (let j = fromRow; j < toRow; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      if (gap[at] === 0) continue;
      const needed = neededGap(problem, j, i, earlier.warpSlope[at], earlier.weftSlope[at]);
      gap[at] = gap[at] > 0 ? needed : -needed;
    }
  }
}

/**
 * Sets the height that the centre lines of each crossing of rows fromRow .. toRow − 1 must keep to what two straight
 * cylinders with elliptic sections need where they touch at the present slopes s, t: the sum over both of
 * sqrt(b²(1 + s²) + a²t²), b and a the semi-axes across and in the cloth (support function of the section in the
 * direction of the common normal; for round yarns D·sqrt(1 + s² + t²)).
 * @returns the largest change, as a share of D
 */
export function tiltGaps(
  problem: HeightsProblem,
  grid: CrossingGrid,
  slopes: NodeSlopes,
  fromRow: number,
  toRow: number,
): number {
  const { ends, levelOfRow, gap } = grid;
  let worst = 0;
  for (let j = fromRow; j < toRow; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      if (gap[at] === 0) continue;
      const s = slopes.warp[levelOfRow[j] * ends + i];
      const t = slopes.weft[at];
      const needed = neededGap(problem, j, i, s, t);
      const change = Math.abs(needed - Math.abs(gap[at])) / needed;
      if (change > worst) worst = change;
      gap[at] = gap[at] > 0 ? needed : -needed;
    }
  }
  return worst;
}
