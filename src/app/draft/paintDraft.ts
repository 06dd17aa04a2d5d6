import type { InkColours } from '#app/model/ribbonPaint.ts';
import { numberEvery } from '#app/model/ribbonScale.ts';
import type { DraftArea } from '#engine/draft/area.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { cellCorner, type DraftCell } from './draftCells.ts';
import { type DraftLayout, type DraftScroll, planColumns } from './draftLayout.ts';

/** The draft as it is put on paper: shafts and treadles count from 1, ends and picks from 0. */
export interface DraftSheet {
  readonly shafts: number;
  /** Shaft of each end; 0 where it is on none. */
  readonly threading: ArrayLike<number>;
  /** Shafts tied to each treadle; undefined on a direct-lift loom. */
  readonly tieUp: readonly (readonly number[])[] | undefined;
  /** Per row of the drawdown: shafts raised (direct lift) or treadles pressed. */
  readonly lifts: readonly (readonly number[])[];
  readonly drawdown: Drawdown;
  readonly endColours: readonly string[];
  readonly rowColours: readonly string[];
  /** Pick of each row, from 0; a row is one pass. */
  readonly rowPick: ArrayLike<number>;
  /** Number to print over a column; absent = the column's own, from 1. */
  readonly endNumber?: (column: number) => number;
  /** Whether a row's pick is numbered; absent = as often as there is room. */
  readonly isNumbered?: (row: number) => boolean;
  /** Threading and tie-up are on the loom and cannot change: drawn paler. */
  readonly fixed?: boolean;
}

/** What is being done to the sheet: squares under a stroke, the square that keys act on, the area chosen. */
export interface DraftWork {
  readonly stroke: readonly DraftCell[];
  readonly cursor: DraftCell | undefined;
  readonly area: DraftArea | undefined;
}

/** Rows and ends to stand out, inclusive. */
export interface DraftMarks {
  readonly rows: { readonly from: number; readonly to: number } | undefined;
  readonly ends: { readonly from: number; readonly to: number } | undefined;
}

/** Cell indices of the drawdown that show, first included, last not. */
interface Shown {
  readonly firstEnd: number;
  readonly lastEnd: number;
  readonly firstLine: number;
  readonly lastLine: number;
}

/**
 * Draws what of the sheet shows: threading above (shaft 1 lowest), tie-up at the corner, drawdown below with the first
 * pick lowest, as the cloth grows, and the lifts to its right.
 */
export function paintDraft(
  context: CanvasRenderingContext2D,
  sheet: DraftSheet,
  layout: DraftLayout,
  scroll: DraftScroll,
  marks: DraftMarks,
  ink: InkColours,
  formatNumber: (value: number) => string,
  work?: DraftWork,
): void {
  const { cellPx: c, left, top, width, height, threadingTop, planLeft, stripTop, stripLeft } = layout;
  const { ends, rows } = sheet.drawdown;
  const shown: Shown = {
    firstEnd: Math.max(Math.floor(scroll.x / c), 0),
    lastEnd: Math.min(Math.ceil((scroll.x + width) / c), ends),
    firstLine: Math.max(Math.floor(scroll.y / c), 0),
    lastLine: Math.min(Math.ceil((scroll.y + height) / c), rows),
  };
  const xOf = (end: number) => left + end * c - scroll.x;
  const yOf = (line: number) => top + line * c - scroll.y;
  const inset = c > 5 ? 1 : 0;
  const dot = (x: number, y: number) => context.fillRect(x + inset, y + inset, c - 2 * inset, c - 2 * inset);

  within(context, left, threadingTop, width, stripTop + c - threadingTop, () => {
    lines(context, ink, c, xOf(0), threadingTop, ends, sheet.shafts, shown.firstEnd, shown.lastEnd);
    for (let end = shown.firstEnd; end < shown.lastEnd; end++) {
      context.fillStyle = sheet.endColours[end];
      context.fillRect(xOf(end), stripTop, c, c);
      context.fillStyle = ink.ink;
      context.globalAlpha = sheet.fixed ? fixedAlpha : 1;
      if (sheet.threading[end] > 0) dot(xOf(end), threadingTop + (sheet.shafts - sheet.threading[end]) * c);
      context.globalAlpha = 1;
    }
  });

  within(context, left, top, width, height, () => {
    lines(context, ink, c, xOf(0), yOf(0), ends, rows, shown.firstEnd, shown.lastEnd, shown.firstLine, shown.lastLine);
    context.fillStyle = ink.ink;
    for (let line = shown.firstLine; line < shown.lastLine; line++) {
      for (let end = shown.firstEnd; end < shown.lastEnd; end++) {
        if (isWarpUp(sheet.drawdown, rows - 1 - line, end)) dot(xOf(end), yOf(line));
      }
    }
    outline(context, ink, marks, xOf, yOf, c, ends, rows);
  });

  const columns = planColumns(sheet);
  within(context, stripLeft, top, planLeft + columns * c + 1 - stripLeft, height, () => {
    lines(context, ink, c, planLeft, yOf(0), columns, rows, 0, columns, shown.firstLine, shown.lastLine);
    for (let line = shown.firstLine; line < shown.lastLine; line++) {
      const row = rows - 1 - line;
      context.fillStyle = sheet.rowColours[row];
      context.fillRect(stripLeft, yOf(line), c, c);
      context.fillStyle = ink.ink;
      for (const lift of sheet.lifts[row]) dot(planLeft + (lift - 1) * c, yOf(line));
    }
  });

  if (sheet.tieUp) {
    lines(context, ink, c, planLeft, threadingTop, columns, sheet.shafts, 0, columns);
    context.fillStyle = ink.ink;
    context.globalAlpha = sheet.fixed ? fixedAlpha : 1;
    sheet.tieUp.forEach((shafts, treadle) => {
      for (const shaft of shafts) dot(planLeft + treadle * c, threadingTop + (sheet.shafts - shaft) * c);
    });
    context.globalAlpha = 1;
  }
  if (work) paintWork(context, sheet, layout, scroll, ink, work);
  paintNumbers(context, sheet, layout, shown, xOf, yOf, ink, formatNumber);
}

/** How dark a mark is that cannot be changed. */
const fixedAlpha = 0.45;

function paintWork(
  context: CanvasRenderingContext2D,
  sheet: DraftSheet,
  layout: DraftLayout,
  scroll: DraftScroll,
  ink: InkColours,
  { stroke, cursor, area }: DraftWork,
): void {
  const { cellPx: c, left, top, width, height } = layout;
  const at = (cell: DraftCell) => cellCorner(layout, sheet, scroll, cell);
  const clipped = (part: DraftCell['part'], paint: () => void) =>
    part === 'drawdown' ? within(context, left, top, width, height, paint) : paint();
  context.fillStyle = ink.accent;
  context.strokeStyle = ink.accent;
  for (const cell of stroke) {
    const { x, y } = at(cell);
    clipped(cell.part, () => context.fillRect(x + 1, y + 1, Math.max(c - 1, 1), Math.max(c - 1, 1)));
  }
  context.lineWidth = 2;
  if (area) {
    const { x, y } = at({ part: 'drawdown', x: area.fromEnd, y: area.toRow });
    context.setLineDash([6, 3]);
    clipped('drawdown', () =>
      context.strokeRect(x, y, (area.toEnd - area.fromEnd + 1) * c + 1, (area.toRow - area.fromRow + 1) * c + 1),
    );
    context.setLineDash([]);
  }
  if (cursor) {
    const { x, y } = at(cursor);
    clipped(cursor.part, () => context.strokeRect(x - 1, y - 1, c + 3, c + 3));
  }
}

function within(
  context: CanvasRenderingContext2D,
  x: number,
  y: number,
  width: number,
  height: number,
  paint: () => void,
): void {
  context.save();
  context.beginPath();
  // One pixel more for the closing lines.
  context.rect(x, y, width + 1, height + 1);
  context.clip();
  paint();
  context.restore();
}

/** Lines between cells, where cells are wide enough to need them; every fourth otherwise, counted from below. */
function lines(
  context: CanvasRenderingContext2D,
  ink: InkColours,
  c: number,
  x0: number,
  y0: number,
  columns: number,
  rows: number,
  firstColumn: number,
  lastColumn: number,
  firstLine = 0,
  lastLine = rows,
): void {
  const step = c >= 6 ? 1 : 4;
  const yFrom = y0 + firstLine * c;
  const xFrom = x0 + firstColumn * c;
  context.fillStyle = ink.hairline;
  for (let column = firstColumn; column <= lastColumn; column++) {
    if (column % step !== 0 && column !== columns) continue;
    context.fillRect(x0 + column * c, yFrom, 1, (lastLine - firstLine) * c + 1);
  }
  for (let line = firstLine; line <= lastLine; line++) {
    if ((rows - line) % step !== 0 && line !== 0) continue;
    context.fillRect(xFrom, y0 + line * c, (lastColumn - firstColumn) * c + 1, 1);
  }
}

function outline(
  context: CanvasRenderingContext2D,
  ink: InkColours,
  marks: DraftMarks,
  xOf: (end: number) => number,
  yOf: (line: number) => number,
  c: number,
  ends: number,
  rows: number,
): void {
  context.strokeStyle = ink.accent;
  context.lineWidth = 2;
  if (marks.rows) {
    const y = yOf(rows - 1 - marks.rows.to);
    context.strokeRect(xOf(0) + 1, y, ends * c - 1, (marks.rows.to - marks.rows.from + 1) * c + 1);
  }
  if (marks.ends) {
    const x = xOf(marks.ends.from);
    context.strokeRect(x, yOf(0) + 1, (marks.ends.to - marks.ends.from + 1) * c + 1, rows * c - 1);
  }
}

/** Ends above the drawdown and picks to its left, as often as they can be read. */
function paintNumbers(
  context: CanvasRenderingContext2D,
  sheet: DraftSheet,
  layout: DraftLayout,
  shown: Shown,
  xOf: (end: number) => number,
  yOf: (line: number) => number,
  ink: InkColours,
  formatNumber: (value: number) => string,
): void {
  const { cellPx: c, left, top, width, height } = layout;
  const { rows } = sheet.drawdown;
  context.fillStyle = ink.ink;
  context.font = '11px system-ui, sans-serif';
  context.textBaseline = 'middle';
  context.textAlign = 'center';
  const everyEnd = numberEvery(c, 46);
  for (let end = shown.firstEnd; end < shown.lastEnd; end++) {
    const x = xOf(end) + c / 2;
    if ((sheet.endNumber?.(end) ?? end + 1) % everyEnd !== 0 || x < left || x > left + width) continue;
    context.fillText(formatNumber(sheet.endNumber?.(end) ?? end + 1), x, top - 9);
    context.fillRect(x - 0.5, top - 4, 1, 3);
  }
  context.textAlign = 'right';
  const everyPick = numberEvery(c, 18);
  for (let line = shown.firstLine; line < shown.lastLine; line++) {
    const row = rows - 1 - line;
    const pick = sheet.rowPick[row];
    const y = yOf(line) + c / 2;
    // A pick of several passes is numbered at its first.
    const numbered = sheet.isNumbered?.(row) ?? ((pick + 1) % everyPick === 0 && sheet.rowPick[row - 1] !== pick);
    if (!numbered || y < top + 4 || y > top + height - 4) continue;
    context.fillText(formatNumber(pick + 1), left - 7, y);
    context.fillRect(left - 5, y - 0.5, 4, 1);
  }
}
