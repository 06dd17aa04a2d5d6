import { createDrawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { ClothError } from './clothError.ts';
import type { ClothProblem } from './clothTypes.ts';

/** Part of a cloth, rows and ends counted from 0, last ones included. */
export interface ClothRegion {
  readonly firstRow: number;
  readonly lastRow: number;
  readonly firstEnd: number;
  readonly lastEnd: number;
}

/**
 * A region as a cloth of its own: rows that do not reach it are left out, picks keep their numbers from the first row's.
 * @throws ClothError 'empty-region' where no row passes it
 */
export function clothRegion(problem: ClothProblem, region: ClothRegion): ClothProblem {
  const { firstEnd, lastEnd } = region;
  const rows: number[] = [];
  for (let row = region.firstRow; row <= Math.min(region.lastRow, problem.rows - 1); row++) {
    if (problem.rowFirst[row] <= lastEnd && problem.rowLast[row] >= firstEnd) rows.push(row);
  }
  const ends = Math.min(lastEnd, problem.ends - 1) - firstEnd + 1;
  if (rows.length === 0 || ends < 1) {
    throw new ClothError(
      'empty-region',
      `ends ${firstEnd + 1}–${lastEnd + 1}`,
      'No pick passes this part of the cloth.',
    );
  }
  const drawdown = createDrawdown(rows.length, ends);
  rows.forEach((row, j) => {
    for (let end = 0; end < ends; end++) setWarpUp(drawdown, j, end, isWarpUp(problem.drawdown, row, firstEnd + end));
  });
  const firstPick = problem.rowPick[rows[0]];
  const lastPick = problem.rowPick[rows[rows.length - 1]];
  const taken = <T extends Uint8Array | Uint16Array | Uint32Array | Float32Array | Float64Array>(source: T): T => {
    const part = source.slice(0, rows.length) as T;
    rows.forEach((row, j) => {
      part[j] = source[row];
    });
    return part;
  };
  const cut = (index: number): number => Math.min(Math.max(index - firstEnd, 0), ends - 1);
  return {
    ...problem,
    rows: rows.length,
    ends,
    drawdown,
    endYarn: problem.endYarn.slice(firstEnd, firstEnd + ends),
    endXMm: problem.endXMm.slice(firstEnd, firstEnd + ends),
    endTensionN: problem.endTensionN.slice(firstEnd, firstEnd + ends),
    ...(problem.endSqueeze ? { endSqueeze: problem.endSqueeze.slice(firstEnd, firstEnd + ends) } : {}),
    ...(problem.endSlackShare ? { endSlackShare: problem.endSlackShare.slice(firstEnd, firstEnd + ends) } : {}),
    rowYarn: taken(problem.rowYarn),
    rowPick: taken(problem.rowPick).map((pick) => pick - firstPick),
    rowFirst: taken(problem.rowFirst).map(cut),
    rowLast: taken(problem.rowLast).map(cut),
    rowEntersRight: taken(problem.rowEntersRight),
    rowEnd: taken(problem.rowEnd),
    rowTailMm: taken(problem.rowTailMm),
    rowTensionN: taken(problem.rowTensionN),
    beat: { ...problem.beat, firmness: problem.beat.firmness.slice(firstPick, lastPick + 1) },
  };
}
