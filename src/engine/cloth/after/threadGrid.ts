import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';

/** Rows nearer than this up the cloth lie side by side in one line. */
const SAME_Y_MM = 1e-4;

/**
 * The threads of a cloth as lines of crossings, warp and weft alike. A thread's crossings are numbered along it: an end's by
 * the lines of rows from the first up, a row's by the ends from the left.
 */
export class ThreadGrid {
  readonly rows: number;
  readonly ends: number;
  /** Lines of rows that lie at one height up the cloth. */
  readonly lineYMm: number[] = [];
  readonly lineRows: number[][] = [];
  readonly lineOfRow: Uint32Array;

  constructor(
    readonly problem: ClothProblem,
    readonly geometry: Pick<ClothGeometry, 'endXMm' | 'rowYMm'>,
  ) {
    this.rows = problem.rows;
    this.ends = problem.ends;
    this.lineOfRow = new Uint32Array(this.rows);
    for (let row = 0; row < this.rows; row++) {
      const y = geometry.rowYMm[row];
      const last = this.lineYMm.length - 1;
      const beside = last >= 0 && y - this.lineYMm[last] <= SAME_Y_MM && this.isFree(this.lineRows[last], row);
      if (beside) this.lineRows[last].push(row);
      else {
        this.lineYMm.push(y);
        this.lineRows.push([row]);
      }
      this.lineOfRow[row] = this.lineRows.length - 1;
    }
  }

  private isFree(rows: readonly number[], row: number): boolean {
    const { rowFirst, rowLast } = this.problem;
    return rows.every((other) => rowFirst[row] > rowLast[other] || rowLast[row] < rowFirst[other]);
  }

  threads(warp: boolean): number {
    return warp ? this.ends : this.rows;
  }

  /** First and last crossing of a thread. */
  span(warp: boolean, thread: number): readonly [number, number] {
    if (warp) return [0, this.lineYMm.length - 1];
    return [this.problem.rowFirst[thread], this.problem.rowLast[thread]];
  }

  /** The row that stands for a line at an end: the one that passes there, else the line's first. */
  rowAt(line: number, end: number): number {
    const { rowFirst, rowLast } = this.problem;
    const rows = this.lineRows[line];
    if (rows.length === 1) return rows[0];
    return rows.find((row) => end >= rowFirst[row] && end <= rowLast[row]) ?? rows[0];
  }

  /** Index of a thread's crossing in fields over rows × ends. */
  at(warp: boolean, thread: number, crossing: number): number {
    return warp ? this.rowAt(crossing, thread) * this.ends + thread : thread * this.ends + crossing;
  }

  /** mm along the thread. */
  placeMm(warp: boolean, crossing: number): number {
    return warp ? this.lineYMm[crossing] : this.geometry.endXMm[crossing];
  }

  /** mm beside it: where the thread itself lies. */
  sideMm(warp: boolean, thread: number): number {
    return warp ? this.geometry.endXMm[thread] : this.geometry.rowYMm[thread];
  }

  yarn(warp: boolean, thread: number): number {
    return warp ? this.problem.endYarn[thread] : this.problem.rowYarn[thread];
  }

  /** 1 where the thread lies uppermost on the face, 0 where on the back, −1 where none crosses it. */
  lift(warp: boolean, thread: number, crossing: number): 1 | 0 | -1 {
    const { drawdown, rowFirst, rowLast } = this.problem;
    if (!warp) return isWarpUp(drawdown, thread, crossing) ? 0 : 1;
    const row = this.rowAt(crossing, thread);
    if (thread < rowFirst[row] || thread > rowLast[row]) return -1;
    return isWarpUp(drawdown, row, thread) ? 1 : 0;
  }
}
