import type { Millimetres } from '#engine/units/units.ts';
import type { ClothProblem } from './clothTypes.ts';

type Rows = Pick<ClothProblem, 'rows' | 'ends' | 'endXMm' | 'rowFirst' | 'rowLast'>;

/** Length of yarn in a row: its way from edge to edge over 1 − take-up (share of the yarn's length, 0..1). */
export function rowLengthMm(problem: Rows, row: number, weftTakeUp: number): Millimetres {
  const { ends, endXMm, rowFirst, rowLast } = problem;
  const pitchMm = ends > 1 ? (endXMm[ends - 1] - endXMm[0]) / (ends - 1) : 0;
  return (endXMm[rowLast[row]] - endXMm[rowFirst[row]] + pitchMm) / (1 - weftTakeUp);
}

/**
 * How much of its yarn was laid before each row, mm: a yarn goes on where its last row left it, whatever lay between.
 * @param yarnOf which yarn is followed in a row; undefined where none is
 */
export function laidBeforeMm(
  problem: Rows,
  yarnOf: (row: number) => string | undefined,
  weftTakeUp: number,
): Float64Array {
  const usedMm = new Map<string, number>();
  return Float64Array.from({ length: problem.rows }, (_, row) => {
    const yarn = yarnOf(row);
    if (yarn === undefined) return 0;
    const before = usedMm.get(yarn) ?? 0;
    usedMm.set(yarn, before + rowLengthMm(problem, row, weftTakeUp));
    return before;
  });
}
