import { type ClothProblem, RowEnd } from '#engine/cloth/clothTypes.ts';
import { yarnOfRows } from '#engine/cloth/yarnOfRows.ts';
import type { Millimetres } from '#engine/units/units.ts';
import { leavesBy } from './joins.ts';

/** Where a weft that goes on behind is tied up, so far apart at most: longer floats catch (common practice: an inch). */
export const TIED_EVERY_MM: Millimetres = 25;

/** A weft that goes behind the cloth from where it leaves one row to where it is laid next. */
export interface BackFloat {
  readonly row: number;
  /** The row in which it is laid next. */
  readonly next: number;
  readonly fromEnd: number;
  readonly toEnd: number;
  /** Straight from the one to the other. */
  readonly spanMm: Millimetres;
  /** Places between where it is caught round an end. */
  readonly ties: number;
  /** Yarn that it takes: its span, and round each end that it is tied to, half a circle in place of its diameter. */
  readonly lengthMm: Millimetres;
}

/** The row in which a weft is laid next: further on in the same pick, else in the next pick that it lies in and is not cut in. */
function laidNext(problem: ClothProblem, yarnOf: Uint16Array, row: number): number {
  const { rows, rowPick, rowFirst, rowLast, rowEnd } = problem;
  const side = leavesBy(problem, row);
  let first = row;
  while (first > 0 && rowPick[first - 1] === rowPick[row]) first--;
  let best = -1;
  for (let other = first; other < rows; other++) {
    if (best >= 0 && rowPick[other] !== rowPick[best]) break;
    if (other === row || yarnOf[other] !== yarnOf[row] || rowEnd[other] === RowEnd.cut) continue;
    if (rowPick[other] === rowPick[row] && side * (rowFirst[other] - rowFirst[row]) <= 0) continue;
    // Of several in the pick, the one that it comes to first.
    const enteredAt = (at: number) => (leavesBy(problem, other) > 0 ? rowFirst[at] : -rowLast[at]);
    if (best < 0 || enteredAt(other) < enteredAt(best)) best = other;
  }
  return best;
}

/**
 * Wefts that go on behind, left loose or tied up every {@link TIED_EVERY_MM} at most: their spans are even. Empty where none does. A
 * weft that is laid no more is cut, and is not among them.
 */
export function backFloats(
  problem: ClothProblem,
  { endXMm, rowYMm }: { readonly endXMm: ArrayLike<number>; readonly rowYMm: ArrayLike<number> },
): BackFloat[] {
  const { rows, rowEnd, rowFirst, rowLast, rowYarn, endYarn, yarns } = problem;
  const floats: BackFloat[] = [];
  if (!rowEnd.some((how) => how === RowEnd.behind || how === RowEnd.tied)) return floats;
  const yarnOf = yarnOfRows(problem);
  for (let row = 0; row < rows; row++) {
    if (rowEnd[row] !== RowEnd.behind && rowEnd[row] !== RowEnd.tied) continue;
    const next = laidNext(problem, yarnOf, row);
    if (next < 0) continue;
    const fromEnd = leavesBy(problem, row) > 0 ? rowLast[row] : rowFirst[row];
    const toEnd = leavesBy(problem, next) > 0 ? rowFirst[next] : rowLast[next];
    const spanMm = Math.hypot(endXMm[toEnd] - endXMm[fromEnd], rowYMm[next] - rowYMm[row]);
    const ties = rowEnd[row] === RowEnd.tied ? Math.max(0, Math.ceil(spanMm / TIED_EVERY_MM) - 1) : 0;
    const roundMm = yarns[endYarn[fromEnd]].contactWidthMm + yarns[rowYarn[row]].contactWidthMm;
    floats.push({ row, next, fromEnd, toEnd, spanMm, ties, lengthMm: spanMm + ties * (Math.PI / 2 - 1) * roundMm });
  }
  return floats;
}

/** What lies loose behind, in sum. */
export interface BehindCloth {
  readonly floats: number;
  /** The longest way that nothing holds, and the row that it leaves. */
  readonly longestMm: Millimetres;
  readonly row: number;
  readonly tied: boolean;
  readonly yarnMm: Millimetres;
  /** What they add to the thickness there: a weft's height, pressed. */
  readonly extraMm: Millimetres;
}

/** Undefined where no weft goes on behind. */
export function behindCloth(
  problem: ClothProblem,
  places: { readonly endXMm: ArrayLike<number>; readonly rowYMm: ArrayLike<number> },
): BehindCloth | undefined {
  const floats = backFloats(problem, places);
  if (floats.length === 0) return undefined;
  const loose = ({ spanMm, ties }: BackFloat) => spanMm / (ties + 1);
  const longest = floats.reduce((most, float) => (loose(float) > loose(most) ? float : most));
  return {
    floats: floats.length,
    longestMm: loose(longest),
    row: longest.row,
    tied: longest.ties > 0,
    yarnMm: floats.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
    extraMm: Math.max(...floats.map(({ row }) => problem.yarns[problem.rowYarn[row]].contactHeightMm)),
  };
}
