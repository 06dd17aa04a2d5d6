import { inBands } from '#engine/cloth/pauses.ts';
import type { Scratch } from '#engine/cloth/scratch.ts';
import { type BeamFamily, buildBeamFamily } from './beamFamily.ts';
import { type CrushTable, crushTables } from './crushTable.ts';
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
  /** Half heights by force, per end and per row; null where sections are rigid or linear. */
  readonly crush: { readonly ends: readonly CrushTable[]; readonly rows: readonly CrushTable[] } | null;
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

/** Levels of the rows: rows side by side in one shed share one. */
export function assignLevels(problem: HeightsProblem): { levelOfRow: Uint32Array; levelYMm: Float64Array } {
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

/** Half-height sums of rows fromRow .. toRow − 1, signed by the lifts. */
function fillGaps(problem: HeightsProblem, gap: Float64Array, fromRow: number, toRow: number): void {
  const { ends, drawdown, endHalfHeightMm, rowHalfHeightMm, rowFirst, rowLast } = problem;
  const { bits, wordsPerRow } = drawdown;
  for (let j = fromRow; j < toRow; j++) {
    const half = rowHalfHeightMm[j];
    for (let i = rowFirst[j]; i <= rowLast[j]; i++) {
      const D = endHalfHeightMm[i] + half;
      gap[j * ends + i] = (bits[j * wordsPerRow + (i >>> 5)] >>> (i & 31)) & 1 ? D : -D;
    }
  }
}

/** Warp nodes that no row crosses; there are none where every row is whole. */
function bareNodes(problem: HeightsProblem, levelOfRow: Uint32Array, levels: number): Uint32Array {
  const { rows, ends, rowFirst, rowLast } = problem;
  const whole = (j: number) => rowFirst[j] === 0 && rowLast[j] === ends - 1;
  if (Array.from(levelOfRow, (_, j) => whole(j)).every(Boolean)) return new Uint32Array(0);
  const covered = new Uint8Array(ends * levels);
  for (let j = 0; j < rows; j++)
    covered.fill(1, levelOfRow[j] * ends + rowFirst[j], levelOfRow[j] * ends + rowLast[j] + 1);
  const bare: number[] = [];
  for (let k = 0; k < covered.length; k++) if (!covered[k]) bare.push(k);
  return Uint32Array.from(bare);
}

/** A field over rows and ends as warp threads meet it, level by level; 0 where no row passes. */
export function onLevels(
  problem: HeightsProblem,
  levelOfRow: Uint32Array,
  levels: number,
  field: Float64Array,
): Float64Array {
  const { rows, ends, rowFirst, rowLast } = problem;
  if (levels === rows) return field;
  const out = new Float64Array(levels * ends);
  for (let j = 0; j < rows; j++) {
    const from = j * ends + rowFirst[j];
    out.set(field.subarray(from, j * ends + rowLast[j] + 1), levelOfRow[j] * ends + rowFirst[j]);
  }
  return out;
}

export function* buildCrossingGrid(
  problem: HeightsProblem,
  confinementShare: number,
  heldFlat: boolean,
  scratch: Scratch,
): Generator<void, CrossingGrid> {
  const { rows, ends, rowFirst, rowLast } = problem;
  const { levelOfRow, levelYMm } = assignLevels(problem);
  const levels = levelYMm.length;
  const gap = scratch.take('gap', rows * ends);
  yield* inBands(rows, ends, (from, to) => fillGaps(problem, gap, from, to));
  let crossings = 0;
  for (let j = 0; j < rows; j++) crossings += rowLast[j] - rowFirst[j] + 1;
  const bareWarpNodes = bareNodes(problem, levelOfRow, levels);
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
    ...(problem.rowOffsetMm ? { shiftMm: onLevels(problem, levelOfRow, levels, problem.rowOffsetMm) } : {}),
  });
  yield;
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
    ...(problem.endOffsetMm ? { shiftMm: problem.endOffsetMm } : {}),
  });
  yield;
  return {
    rows,
    ends,
    levels,
    levelOfRow,
    levelYMm,
    gap,
    endGive: give(problem.endHalfHeightMm, problem.endContactStiffnessN),
    rowGive: give(problem.rowHalfHeightMm, problem.rowContactStiffnessN),
    crush:
      problem.endCrush && problem.rowCrush
        ? { ends: crushTables(problem.endCrush), rows: crushTables(problem.rowCrush) }
        : null,
    bareWarpNodes,
    bareShadow: new Float64Array(bareWarpNodes.length),
    crossings,
    rowFirst,
    rowLast,
    hold: buildLevelHold(problem, levelYMm, levelOfRow, warp.scale, weft.scale, heldFlat),
    warp,
    weft,
  };
}
