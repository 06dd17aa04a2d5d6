import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { Selection, ThreadRange } from './tableState.ts';

/** Rows of a run of picks; undefined where the run lies beyond the cloth. `rowPick` ascends. */
export function rowRange(rowPick: ArrayLike<number>, picks: ThreadRange): ThreadRange | undefined {
  const rows = rowPick.length;
  let from = 0;
  while (from < rows && rowPick[from] < picks.from) from++;
  if (from === rows || rowPick[from] > picks.to) return undefined;
  let to = from;
  while (to + 1 < rows && rowPick[to + 1] <= picks.to) to++;
  return { from, to };
}

/** Picks that a run of rows belongs to. */
export function pickRange(rowPick: ArrayLike<number>, rows: ThreadRange): ThreadRange {
  return { from: rowPick[rows.from], to: rowPick[rows.to] };
}

/** The picks selected, as far as the cloth has them. */
export function selectedPickRange(
  selection: Selection,
  problem: Pick<ClothProblem, 'rows' | 'rowPick'>,
): ThreadRange | undefined {
  const picks = problem.rowPick[problem.rows - 1] + 1;
  if (selection?.kind !== 'picks' || selection.range.from >= picks) return undefined;
  return { from: selection.range.from, to: Math.min(selection.range.to, picks - 1) };
}
