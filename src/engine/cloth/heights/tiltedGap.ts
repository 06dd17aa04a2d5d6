import type { CrossingGrid } from './crossingGrid.ts';
import type { HeightsProblem, HeightsSolution } from './heightsTypes.ts';
import type { SplittingState } from './splitting.ts';

/**
 * Most that the height between two centre lines grows over the upright sum D. Beyond it (slopes of about 0.7 both ways)
 * threads no longer lie across one another at a node as straight cylinders would.
 */
const MOST_GROWTH = 1.4;

/** Force for each mm of gap in plain weave, over the natural stiffness of both beams in series: 24 B/p³ for half of it each. */
const STIFFNESS_OF_PLAIN = 24;

/** Slopes at the nodes, laid out as the heights of the splitting's state. */
export interface NodeSlopes {
  readonly warp: Float64Array;
  readonly weft: Float64Array;
}

/** Half height, in the vertical direction, that a section of the given semi-axes takes where its thread and the crossed one slope. */
function tiltedHalfHeight(halfHeight: number, halfWidth: number, ownSlope: number, crossedSlope: number): number {
  return Math.sqrt(
    halfHeight * halfHeight * (1 + ownSlope * ownSlope) + halfWidth * halfWidth * crossedSlope * crossedSlope,
  );
}

/** The sum of both at a crossing, slopes s of the warp and t of the weft; yielding sections are b thick along any normal. */
export function tiltedSum(
  { endHalfWidthMm, rowHalfWidthMm, endYields, rowYields }: HeightsProblem,
  row: number,
  end: number,
  bw: number,
  bf: number,
  s: number,
  t: number,
): number {
  const aw = endYields?.[end] ? bw : endHalfWidthMm[end];
  const af = rowYields?.[row] ? bf : rowHalfWidthMm[row];
  return tiltedHalfHeight(bw, aw, s, t) + tiltedHalfHeight(bf, af, t, s);
}

/** The gap that a crossing needs. */
function neededGap(problem: HeightsProblem, row: number, end: number, bw: number, bf: number, s: number, t: number) {
  return Math.min(MOST_GROWTH * (bw + bf), tiltedSum(problem, row, end, bw, bf, s, t));
}

/** Sets the gaps of rows fromRow .. toRow − 1 to the slopes and forces of an earlier solution. */
export function tiltGapsAsBefore(
  problem: HeightsProblem,
  grid: CrossingGrid,
  earlier: HeightsSolution,
  tilted: boolean,
  fromRow: number,
  toRow: number,
): void {
  const { ends, gap, crush } = grid;
  const { endHalfHeightMm, rowHalfHeightMm } = problem;
  for (let j = fromRow; j < toRow; j++) {
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      if (gap[at] === 0) continue;
      const force = earlier.contactForceN[at];
      const bw = crush ? crush.ends[i].at(force) : endHalfHeightMm[i];
      const bf = crush ? crush.rows[j].at(force) : rowHalfHeightMm[j];
      const s = tilted ? earlier.warpSlope[at] : 0;
      const t = tilted ? earlier.weftSlope[at] : 0;
      const needed = neededGap(problem, j, i, bw, bf, s, t);
      gap[at] = gap[at] > 0 ? needed : -needed;
    }
  }
}

/**
 * Sets the height that the centre lines of each crossing of rows fromRow .. toRow − 1 must keep to what two straight
 * cylinders with elliptic sections need where they touch at the present slopes s, t: the sum over both of
 * sqrt(b²(1 + s²) + a²t²), b and a the semi-axes across and in the cloth (support function of the section in the
 * direction of the common normal; D·sqrt(1 + s² + t²) for round yarns, and where fibres yield: these are pressed along the
 * normal, so that b lies there). Where sections give, b is what the present force
 * leaves of it, by a step of Newton's with the beams' stiffness as it is in plain weave.
 * @param slopes null where threads are taken as upright on one another
 * @param penalty the sweeps' own, for the crossings' parts
 * @param caution share of a step that is taken where sections give, 0..1
 * @returns the largest change, as a share of D
 */
export function tiltGaps(
  problem: HeightsProblem,
  grid: CrossingGrid,
  state: SplittingState,
  slopes: NodeSlopes | null,
  penalty: number,
  caution: number,
  fromRow: number,
  toRow: number,
): number {
  const { ends, levelOfRow, gap, crush } = grid;
  const { endHalfHeightMm, rowHalfHeightMm } = problem;
  let worst = 0;
  for (let j = fromRow; j < toRow; j++) {
    const stiffF = penalty * grid.weft.scale[j];
    for (let i = 0; i < ends; i++) {
      const at = j * ends + i;
      if (gap[at] === 0) continue;
      const k = levelOfRow[j] * ends + i;
      let bw = endHalfHeightMm[i];
      let bf = rowHalfHeightMm[j];
      let step = 1;
      if (crush) {
        const force = crossingForce(state, at, k, gap[at], penalty * grid.warp.scale[i], stiffF);
        bw = crush.ends[i].at(force);
        bf = crush.rows[j].at(force);
        const beams = STIFFNESS_OF_PLAIN / (1 / grid.warp.scale[i] + 1 / grid.weft.scale[j]);
        step = 1 / (1 + beams * (crush.ends[i].giveAt(force) + crush.rows[j].giveAt(force)));
      }
      const needed = neededGap(problem, j, i, bw, bf, slopes ? slopes.warp[k] : 0, slopes ? slopes.weft[at] : 0);
      const change = step * (needed - Math.abs(gap[at]));
      if (Math.abs(change) > worst * needed) worst = Math.abs(change) / needed;
      const next = Math.abs(gap[at]) + (crush ? caution : 1) * change;
      gap[at] = gap[at] > 0 ? next : -next;
    }
  }
  return worst;
}

/** What a projection of one rigid crossing would press with (see contactForces). */
function crossingForce(
  { warpHeight, warpShadow, warpPull, weftHeight, weftShadow, weftPull }: SplittingState,
  at: number,
  k: number,
  D: number,
  stiffW: number,
  stiffF: number,
): number {
  const vw = warpHeight[k] + 0.5 * (warpShadow[k] - warpPull[k]);
  const vf = weftHeight[at] + 0.5 * (weftShadow[at] - weftPull[at]);
  const pressed = D > 0 ? D - vw + vf : vw - vf - D;
  return pressed > 0 ? (pressed * stiffW * stiffF) / (stiffW + stiffF) : 0;
}
