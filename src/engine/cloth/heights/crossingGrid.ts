import { isWarpUp } from '#engine/draft/drawdown.ts';
import { type BeamFamily, buildBeamFamily } from './beamFamily.ts';
import type { HeightsProblem } from './heightsTypes.ts';
import { buildLevelHold, type LevelHold } from './levelHold.ts';

/** Where two rows that pass the same end share a y, the later one is moved by this share of the mean row pitch. */
const APART_SHARE = 0.05;

/**
 * The problem as the solver holds it. Fields of warp nodes are row-major over *levels* and ends: rows side by side in
 * one shed share a level, and a warp thread has one node a level. Weft nodes are row-major over rows and ends.
 */
export interface CrossingGrid {
  readonly rows: number;
  readonly ends: number;
  readonly levels: number;
  readonly levelOfRow: Uint32Array;
  readonly levelYMm: Float64Array;
  /** Per crossing, row-major: half-height sum D, negative where the weft is up, 0 where the row is absent. */
  readonly gap: Float64Array;
  /** How far each thread's section gives under unit force, mm/N; 0 where rigid. */
  readonly endGive: Float64Array;
  readonly rowGive: Float64Array;
  /** Warp nodes that no row crosses. */
  readonly bareWarpNodes: Uint32Array;
  /** Scratch of the projection, one a bare node. */
  readonly bareShadow: Float64Array;
  readonly crossings: number;
  readonly rowFirst: Uint32Array;
  readonly rowLast: Uint32Array;
  readonly hold: LevelHold;
  readonly warp: BeamFamily;
  readonly weft: BeamFamily;
}

function assignLevels(problem: HeightsProblem): { levelOfRow: Uint32Array; levelYMm: Float64Array } {
  const { rows, rowYMm, rowFirst, rowLast } = problem;
  const levelOfRow = new Uint32Array(rows);
  const ys: number[] = [];
  const height = rows > 1 ? (rowYMm[rows - 1] - rowYMm[0]) / (rows - 1) : 1;
  const apart = APART_SHARE * (height > 0 ? height : 1);
  const near = 1e-6 * apart;
  let firstOfLevel = 0;
  for (let j = 0; j < rows; j++) {
    let y = rowYMm[j];
    let fits = j > 0 && y <= ys[ys.length - 1] + near;
    for (let r = firstOfLevel; fits && r < j; r++) fits = rowFirst[j] > rowLast[r] || rowLast[j] < rowFirst[r];
    if (!fits) {
      if (j > 0) y = Math.max(y, y <= ys[ys.length - 1] + near ? ys[ys.length - 1] + apart : y);
      ys.push(y);
      firstOfLevel = j;
    }
    levelOfRow[j] = ys.length - 1;
  }
  return { levelOfRow, levelYMm: Float64Array.from(ys) };
}

export function buildCrossingGrid(problem: HeightsProblem, confinementShare: number, heldFlat: boolean): CrossingGrid {
  const { rows, ends, drawdown, rowFirst, rowLast } = problem;
  const { levelOfRow, levelYMm } = assignLevels(problem);
  const levels = levelYMm.length;
  const gap = new Float64Array(rows * ends);
  const covered = new Uint8Array(ends * levels);
  let crossings = 0;
  for (let j = 0; j < rows; j++) {
    for (let i = rowFirst[j]; i <= rowLast[j]; i++) {
      const D = problem.endHalfHeightMm[i] + problem.rowHalfHeightMm[j];
      gap[j * ends + i] = isWarpUp(drawdown, j, i) ? D : -D;
      covered[levelOfRow[j] * ends + i] = 1;
      crossings++;
    }
  }
  const bare: number[] = [];
  for (let k = 0; k < covered.length; k++) if (!covered[k]) bare.push(k);
  const give = (halfHeight: Float64Array, stiffness: Float64Array | undefined) =>
    halfHeight.map((h, k) => (stiffness ? (2 * h) / stiffness[k] : 0));
  const { boundary } = problem;
  const closeX = (problem.periodXMm ?? 0) - (problem.endXMm[ends - 1] - problem.endXMm[0]);
  const closeY = (problem.periodYMm ?? 0) - (levelYMm[levels - 1] - levelYMm[0]);
  const warp = buildBeamFamily({
    positions: levelYMm,
    ends: boundary,
    closingSpanMm: closeY,
    beams: ends,
    nodeStep: ends,
    beamStep: 1,
    first: new Uint32Array(ends),
    last: new Uint32Array(ends).fill(levels - 1),
    bendingNmm2: problem.endBendingNmm2,
    tensionN: problem.endTensionN,
    confinementShare,
  });
  const weft = buildBeamFamily({
    positions: problem.endXMm,
    ends: boundary,
    closingSpanMm: closeX,
    beams: rows,
    nodeStep: 1,
    beamStep: ends,
    first: rowFirst,
    last: rowLast,
    bendingNmm2: problem.rowBendingNmm2,
    tensionN: problem.rowTensionN,
    confinementShare,
  });
  return {
    rows,
    ends,
    levels,
    levelOfRow,
    levelYMm,
    gap,
    endGive: give(problem.endHalfHeightMm, problem.endContactStiffnessN),
    rowGive: give(problem.rowHalfHeightMm, problem.rowContactStiffnessN),
    bareWarpNodes: Uint32Array.from(bare),
    bareShadow: new Float64Array(bare.length),
    crossings,
    rowFirst,
    rowLast,
    hold: buildLevelHold(problem, levelYMm, levelOfRow, warp.scale, weft.scale, heldFlat),
    warp,
    weft,
  };
}
