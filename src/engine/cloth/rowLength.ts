import type { Millimetres } from '#engine/units/units.ts';
import type { ClothProblem } from './clothTypes.ts';

type Ends = Pick<ClothProblem, 'ends' | 'endXMm' | 'evenXMm'>;
type Rows = Ends & Pick<ClothProblem, 'rows' | 'rowFirst' | 'rowLast'>;

/** From the first end to the last and their mean pitch: marks of the reed are evened out, which says what the edge has. */
export function endSpan({ ends, endXMm, evenXMm = endXMm }: Ends): { spanMm: Millimetres; pitchMm: Millimetres } {
  const spanMm = evenXMm[ends - 1] - evenXMm[0];
  return { spanMm, pitchMm: ends > 1 ? spanMm / (ends - 1) : 0 };
}

/** Length of yarn in a row: its way from edge to edge over 1 − take-up (share of the yarn's length, 0..1). */
export function rowLengthMm(problem: Rows, row: number, weftTakeUp: number): Millimetres {
  const { endXMm, evenXMm = endXMm, rowFirst, rowLast } = problem;
  const { pitchMm } = endSpan(problem);
  return (evenXMm[rowLast[row]] - evenXMm[rowFirst[row]] + pitchMm) / (1 - weftTakeUp);
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
