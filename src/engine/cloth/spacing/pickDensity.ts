import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { Millimetres, PerCentimetre } from '#engine/units/units.ts';
import { type Hold, rowHolds, rowPositions } from './rowPositions.ts';

/** Picks per cm along the cloth, and where they come from. One value for each pick, the first woven first. */
export interface PickDensity {
  /** Where each pick lies as woven. */
  readonly yMm: Float64Array;
  /** Under one and the same beat throughout: what structure, wefts and sett make of it. */
  readonly structure: Float64Array;
  /** With the beat as she means it, pick by pick. */
  readonly meant: Float64Array;
  /** With pauses and the unevenness of the hand as well. */
  readonly woven: Float64Array;
  /** Coefficients of variation: of the structure's own, of what the beat adds, of what hand and pauses add. */
  readonly variation: { readonly structure: number; readonly beat: number; readonly hand: number };
}

/**
 * Structural density told apart from the weaver's: three placings of the same rows.
 * @param windowMm length over which picks are counted, as a weaver lays a ruler on the cloth
 * @throws ClothError 'jams' as `rowPositions` does
 */
export function pickDensity(
  problem: ClothProblem,
  windowMm: Millimetres,
  holds: readonly Hold[] = rowHolds(problem),
): PickDensity {
  const { firmness } = problem.beat;
  const mean = firmness.reduce((sum, value) => sum + value, 0) / firmness.length;
  const level = { ...problem, beat: { ...problem.beat, firmness: new Float64Array(firmness.length).fill(mean) } };
  const alike = ofPicks(problem, rowPositions(level, false, holds).rowYMm);
  const meantYMm = ofPicks(problem, rowPositions(problem, false, holds).rowYMm);
  const yMm = ofPicks(problem, rowPositions(problem, true, holds).rowYMm);
  const [structure, meant, woven] = [alike, meantYMm, yMm].map((places) => counted(places, windowMm));
  const variation = {
    structure: deviation(structure),
    beat: deviation(ratio(meant, structure)),
    hand: deviation(ratio(woven, meant)),
  };
  return { yMm, structure, meant, woven, variation };
}

/** Of the rows of a pick the highest stands for it; picks counted from 0. */
function ofPicks({ rows, rowPick }: ClothProblem, rowYMm: Float64Array): Float64Array {
  const yMm = new Float64Array(rowPick[rows - 1] + 1);
  for (let row = 0; row < rows; row++) yMm[rowPick[row]] = Math.max(yMm[rowPick[row]], rowYMm[row]);
  return yMm;
}

/** Picks per cm about each pick: those within half the window either way, and at least its neighbours. */
function counted(yMm: Float64Array, windowMm: Millimetres): Float64Array {
  const picks = yMm.length;
  let from = 0;
  let to = 0;
  return yMm.map((y, pick): PerCentimetre => {
    while (yMm[from] < y - windowMm / 2) from++;
    while (to < picks - 1 && yMm[to + 1] <= y + windowMm / 2) to++;
    const first = Math.max(0, Math.min(from, pick - 1));
    const last = Math.min(picks - 1, Math.max(to, pick + 1));
    const lengthMm = yMm[last] - yMm[first];
    return lengthMm > 0 ? (10 * (last - first)) / lengthMm : 0;
  });
}

const ratio = (a: Float64Array, b: Float64Array) => a.map((value, k) => (b[k] > 0 ? value / b[k] : 1));

function deviation(values: Float64Array): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  if (!(mean > 0)) return 0;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length) / mean;
}
