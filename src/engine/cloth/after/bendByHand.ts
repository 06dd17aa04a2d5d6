import { NEWTON_PER_MM2_PER_GSM, warpwiseStiffnessNmm } from '#engine/cloth/bendRadius.ts';
import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { layOverSurface } from '#engine/cloth/relief/layOverSurface.ts';
import { wholeField } from '#engine/cloth/wholeField.ts';
import { bentCurvature } from '#engine/yarn/handBend.ts';
import type { BendByHand, BendReport } from './afterTypes.ts';
import { bentLine, type LineBend } from './bentLine.ts';
import { type LiftedCloth, liftedEnd, liftedLengthMm } from './liftedCloth.ts';

export interface BentCloth {
  readonly geometry: ClothGeometry;
  /** One a bend, in order. */
  readonly reports: readonly BendReport[];
}

const NONE = { wefts: 0, heightMm: 0, bendToDegrees: 0, drawnInMm: 0, carriesMm: 0 };
/** Steeper straight parts are no cloth that is carried any more, but one that is folded. */
const STEEPEST_RAD = Math.PI / 3;

/** The ends that a row passes, over their places. */
function reach(problem: ClothProblem, geometry: ClothGeometry, row: number): Float32Array {
  return geometry.endXMm.subarray(problem.rowFirst[row], problem.rowLast[row] + 1);
}

/** Where a place between ends lies, mm; ends are counted from 1. */
function placeMm(endXMm: ArrayLike<number>, end: number): number {
  const first = Math.min(endXMm.length - 2, Math.max(0, Math.floor(end - 1)));
  return endXMm[first] + (end - 1 - first) * (endXMm[first + 1] - endXMm[first]);
}

/**
 * Wefts with wire, bent by hand once the cloth is off the loom and lying: each stands out of the cloth as far as its bends ask, its
 * two ends level, and the cloth goes with it and comes back to the table by its stiffness and weight ({@link liftedEnd}). Taut
 * ends hold all flat on the loom. Places in plan stay; by how much a bend draws in is told. Fields are laid out whole.
 * @param weightGPerM2 of the cloth
 */
export function bendByHand(
  problem: ClothProblem,
  geometry: ClothGeometry,
  bends: readonly BendByHand[],
  onLoom: boolean,
  weightGPerM2: number,
): BentCloth {
  const { rows, ends } = problem;
  const ofRow = new Map<number, LineBend[]>();
  const lines = new Map<number, Float64Array>();
  const told = bends.map((bend): BendReport & { readonly rows?: readonly number[] } => {
    const found = rowsBent(problem, bend, onLoom);
    if (!('rows' in found)) return { ...NONE, ...found };
    const turnRad = ((bend.side === 'face' ? 1 : -1) * bend.angleDegrees * Math.PI) / 180;
    const made = { xMm: placeMm(geometry.endXMm, bend.end), turnRad, radiusMm: bend.radiusMm };
    const shaped = found.rows.map((row) => {
      const all = [...(ofRow.get(row) ?? []), made].sort((a, b) => a.xMm - b.xMm);
      return { row, all, line: bentLine(all, reach(problem, geometry, row)) };
    });
    if (shaped.some(({ line }) => line.steepestRad > STEEPEST_RAD)) return { ...NONE, nothing: 'tooSteep' };
    for (const { row, all, line } of shaped) {
      ofRow.set(row, all);
      lines.set(row, line.zMm);
    }
    return { ...NONE, rows: found.rows, wefts: found.rows.length, bendToDegrees: found.overbend * bend.angleDegrees };
  });
  const cloth: LiftedCloth = {
    stiffnessNmm: warpwiseStiffnessNmm(problem),
    weightNPerMm2: weightGPerM2 * NEWTON_PER_MM2_PER_GSM,
  };
  const reports = told.map(({ rows: bent, ...report }): BendReport => {
    if (!bent) return report;
    let heightMm = 0;
    let drawnInMm = 0;
    for (const row of bent) {
      const zMm = lines.get(row)!;
      const xMm = reach(problem, geometry, row);
      let length = 0;
      for (let k = 1; k < zMm.length; k++) length += Math.hypot(xMm[k] - xMm[k - 1], zMm[k] - zMm[k - 1]);
      drawnInMm = Math.max(drawnInMm, length - (xMm[xMm.length - 1] - xMm[0]));
      for (const z of zMm) heightMm = Math.max(heightMm, Math.abs(z));
    }
    return { ...report, heightMm, drawnInMm, carriesMm: liftedLengthMm(heightMm, cloth) };
  });
  if (lines.size === 0) return { geometry, reports };
  const zMm = new Float32Array(rows * ends);
  const bent = [...lines.keys()].sort((a, b) => geometry.rowYMm[a] - geometry.rowYMm[b]);
  const column = new Float64Array(rows);
  for (let end = 0; end < ends; end++) {
    const supports = bent.flatMap((row) => {
      const at = end - problem.rowFirst[row];
      const z = lines.get(row)![at];
      return z ? [{ yMm: geometry.rowYMm[row], zMm: z }] : [];
    });
    if (supports.length === 0) continue;
    liftedEnd(column, geometry.rowYMm, supports, cloth);
    for (let row = 0; row < rows; row++) zMm[row * ends + end] = column[row];
  }
  const surface = { rows, ends, zMm, endXMm: geometry.endXMm, rowYMm: geometry.rowYMm, turnXMm: 0, turnYMm: 0 };
  const laid = layOverSurface(wholeField(geometry.warp, geometry), wholeField(geometry.weft, geometry), surface);
  return { geometry: { ...geometry, ...laid, periodRows: rows, periodEnds: ends }, reports };
}

type Found =
  | { readonly rows: readonly number[]; readonly overbend: number }
  | Pick<BendReport, 'nothing' | 'leastRadiusMm'>;

/** Rows that a bend is made in, and how much further the hand goes; or why it is made in none. */
function rowsBent(problem: ClothProblem, { pick, toPick = pick, end, radiusMm }: BendByHand, onLoom: boolean): Found {
  const { yarns, rowYarn, rowPick, rowFirst, rowLast, rows: count } = problem;
  const there: number[] = [];
  for (let row = 0; row < count; row++) {
    if (rowPick[row] + 1 < pick || rowPick[row] + 1 > toPick) continue;
    if (end - 1 > rowFirst[row] && end - 1 < rowLast[row]) there.push(row);
  }
  if (there.length === 0) return { nothing: 'offTheCloth' };
  const rows = there.filter((row) => yarns[rowYarn[row]].bends);
  if (rows.length === 0) return { nothing: 'noWire' };
  const cores = rows.map((row) => yarns[rowYarn[row]].bends!);
  const leastRadiusMm = Math.max(...cores.map((core) => core.leastRadiusMm));
  if (radiusMm < leastRadiusMm) return { nothing: 'tooTight', leastRadiusMm };
  if (onLoom) return { nothing: 'onLoom' };
  return { rows, overbend: radiusMm * Math.max(...cores.map((core) => bentCurvature(1 / radiusMm, core))) };
}
