import { type ClothProblem, RowEnd } from '#engine/cloth/clothTypes.ts';
import { backFloats } from '#engine/cloth/placed/backFloats.ts';
import { joinOfRow, turnMm } from '#engine/cloth/placed/joins.ts';
import { rowLengthMm } from '#engine/cloth/rowLength.ts';
import type { Millimetres } from '#engine/units/units.ts';

/**
 * Yarn that each row takes, mm: its way over 1 − take-up, the turn to the next pick at a selvedge (half a circle over the
 * distance of two picks) or join, its float behind the cloth to where it is laid next, or its tails at both ends where it is cut.
 * @param narrowing width of the cloth at the fell over that of the ends in the reed
 */
export function weftLaidMm(
  problem: ClothProblem,
  weftTakeUp: number,
  pickPitchMm: Millimetres,
  narrowing = 1,
): Float64Array {
  const pitchMm = (row: number) => problem.rowPick[row] * pickPitchMm;
  const places = {
    endXMm: problem.endXMm,
    rowYMm: Float64Array.from({ length: problem.rows }, (_, row) => pitchMm(row)),
  };
  const behind = new Map(backFloats(problem, places).map(({ row, lengthMm }) => [row, lengthMm]));
  return Float64Array.from({ length: problem.rows }, (_, row) => {
    const wayMm = rowLengthMm(problem, row, weftTakeUp) * narrowing;
    if (problem.rowEnd[row] === RowEnd.cut) return wayMm + 2 * problem.rowTailMm[row];
    return wayMm + (behind.get(row) ?? turnMm(problem, row, pickPitchMm, joinOfRow(problem, row)));
  });
}

/** How far a rest of yarn goes. */
export interface ScrapReach {
  /** Rows of this yarn that it lays, of those asked. */
  readonly rows: number;
  /** Height of the cloth up to which it weaves; beyond the sample, as the sample goes on. */
  readonly heightMm: Millimetres;
  /** It is enough for the whole. */
  readonly enough: boolean;
}

/**
 * How high a rest of yarn weaves: rows that use it are laid one after the other until it runs out.
 * @param uses yarn that each row takes of this rest, mm; 0 where it takes none
 * @param rowYMm where each row lies; @param lengthMm of the whole cloth
 */
export function scrapReach(
  restMm: Millimetres,
  uses: ArrayLike<number>,
  rowYMm: ArrayLike<number>,
  lengthMm: Millimetres,
): ScrapReach {
  let left = restMm;
  let rows = 0;
  let whole = 0;
  for (let row = 0; row < uses.length; row++) whole += uses[row];
  if (!(whole > 0)) return { rows: 0, heightMm: 0, enough: true };
  if (restMm >= whole) return { rows: count(uses), heightMm: (lengthMm * restMm) / whole, enough: true };
  for (let row = 0; row < uses.length; row++) {
    if (uses[row] > left) return { rows, heightMm: rowYMm[row], enough: false };
    if (uses[row] > 0) rows++;
    left -= uses[row];
  }
  return { rows, heightMm: lengthMm, enough: true };
}

function count(uses: ArrayLike<number>): number {
  let rows = 0;
  for (let row = 0; row < uses.length; row++) if (uses[row] > 0) rows++;
  return rows;
}
