import { rowRange, selectedPickRange } from '#app/model/rowsOfPicks.ts';
import type { TableState } from '#app/model/tableState.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { DraftPlace } from './draftLayout.ts';

/** Where the threads of the cloth lie, mm; ascending. */
export interface ThreadPlaces {
  readonly endXMm: ArrayLike<number>;
  readonly rowYMm: ArrayLike<number>;
}

/**
 * The crossing that the draft opens at: what is selected, as far as it says, else what lies in the middle of the cloth's
 * panel.
 */
export function placeSeen(
  { pose, selection }: Pick<TableState, 'pose' | 'selection'>,
  problem: Pick<ClothProblem, 'rows' | 'ends' | 'rowPick'>,
  places: ThreadPlaces | undefined,
): DraftPlace {
  const end = places ? nearest(places.endXMm, pose.targetXMm) : (problem.ends - 1) / 2;
  const row = places ? nearest(places.rowYMm, pose.targetYMm) : (problem.rows - 1) / 2;
  const picks = selectedPickRange(selection, problem);
  const rows = picks && rowRange(problem.rowPick, picks);
  if (rows) return { end: within(end, problem.ends), row: (rows.from + rows.to) / 2 };
  if (selection?.kind === 'ends') {
    const { from, to } = selection.range;
    return { end: within((from + to) / 2, problem.ends), row: within(row, problem.rows) };
  }
  return { end: within(end, problem.ends), row: within(row, problem.rows) };
}

function within(index: number, count: number): number {
  return Math.min(Math.max(index, 0), count - 1);
}

function nearest(places: ArrayLike<number>, mm: number): number {
  let low = 0;
  let high = places.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (places[middle] < mm) low = middle + 1;
    else high = middle;
  }
  return low > 0 && mm - places[low - 1] < places[low] - mm ? low - 1 : low;
}
