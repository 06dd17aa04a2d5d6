import type { Millimetres } from '#engine/units/units.ts';
import type { ClothProblem } from './clothTypes.ts';

type Rows = Pick<ClothProblem, 'ends' | 'endXMm' | 'rowFirst' | 'rowLast'>;

/** Length of yarn in a row: its way from edge to edge over 1 − take-up (share of the yarn's length, 0..1). */
export function rowLengthMm(problem: Rows, row: number, weftTakeUp: number): Millimetres {
  const { ends, endXMm, rowFirst, rowLast } = problem;
  const pitchMm = ends > 1 ? (endXMm[ends - 1] - endXMm[0]) / (ends - 1) : 0;
  return (endXMm[rowLast[row]] - endXMm[rowFirst[row]] + pitchMm) / (1 - weftTakeUp);
}
