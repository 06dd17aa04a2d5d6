import { formatNumber } from '#app/words/numbers.ts';
import type { SheetPlaces } from './conventions.ts';
import { type DraftCell, isFilled } from './draftCells.ts';
import type { DraftSheet } from './paintDraft.ts';

/** A square in words: "end 12, pick 4: warp up". */
export function tellCell(drawn: DraftSheet, sheet: DraftSheet, places: SheetPlaces, cell: DraftCell): string {
  const filled = isFilled(drawn, cell);
  const end = formatNumber(places.end(cell.x) + 1);
  const shaft = formatNumber(places.shaft(cell.y + 1));
  switch (cell.part) {
    case 'drawdown':
      return `End ${end}, pick ${formatNumber(sheet.rowPick[places.row(cell.y)] + 1)}: ${filled ? 'filled, warp over' : 'empty, weft over'}`;
    case 'threading':
      return `End ${end}, shaft ${shaft}: ${filled ? 'threaded' : 'not on it'}`;
    case 'tieUp':
      return `Treadle ${formatNumber(cell.x + 1)}, shaft ${shaft}: ${filled ? 'filled' : 'empty'}`;
    case 'lifts':
      return `Pick ${formatNumber(sheet.rowPick[places.row(cell.y)] + 1)}, ${sheet.tieUp ? 'treadle' : 'shaft'} ${formatNumber(cell.x + 1)}: ${filled ? 'filled' : 'empty'}`;
  }
}
