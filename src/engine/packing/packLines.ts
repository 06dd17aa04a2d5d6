import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { MAX_ROWS_ON_LINE } from './clothBufferLayout.ts';
import { PackingError } from './packedCloth.ts';

/** Rows grouped by height up the cloth: rows side by side at one y share a line. */
export interface ClothLines {
  readonly count: number;
  readonly yMm: Float64Array;
  readonly firstRow: Uint32Array;
  readonly rowCount: Uint32Array;
  readonly lineOfRow: Uint32Array;
  readonly sideBySide: boolean;
}

/** Rows nearer than this lie at one y: a hundredth of the finest thread. */
const SAME_Y_MM = 1e-4;

export function groupRowsIntoLines(problem: ClothProblem, geometry: ClothGeometry): ClothLines {
  const { rows } = problem;
  const yMm = new Float64Array(rows);
  const firstRow = new Uint32Array(rows);
  const rowCount = new Uint32Array(rows);
  const lineOfRow = new Uint32Array(rows);
  let line = -1;
  for (let row = 0; row < rows; row++) {
    const y = geometry.rowYMm[row];
    if (!(row === 0 || y >= geometry.rowYMm[row - 1])) {
      throw new PackingError(`row ${row + 1}: lies at ${y} mm, below the row before it; rows must not descend`);
    }
    if (line >= 0 && y - yMm[line] <= SAME_Y_MM && isFree(problem, firstRow[line], rowCount[line], row)) {
      rowCount[line]++;
    } else {
      line++;
      yMm[line] = y;
      firstRow[line] = row;
      rowCount[line] = 1;
    }
    lineOfRow[row] = line;
  }
  const count = line + 1;
  return { count, yMm: yMm.subarray(0, count), firstRow, rowCount, lineOfRow, sideBySide: count < rows };
}

function isFree(problem: ClothProblem, first: number, count: number, row: number): boolean {
  if (count >= MAX_ROWS_ON_LINE) return false;
  for (let other = first; other < first + count; other++) {
    if (problem.rowFirst[row] <= problem.rowLast[other] && problem.rowLast[row] >= problem.rowFirst[other])
      return false;
  }
  return true;
}

/** The row whose node stands for the line at an end: the row present there, else the line's first. */
export function rowAtLine(problem: ClothProblem, lines: ClothLines, line: number, end: number): number {
  const first = lines.firstRow[line];
  for (let row = first; row < first + lines.rowCount[line]; row++) {
    if (end >= problem.rowFirst[row] && end <= problem.rowLast[row]) return row;
  }
  return first;
}
