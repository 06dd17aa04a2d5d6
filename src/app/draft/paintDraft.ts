import type { InkColours } from '#app/model/ribbonPaint.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';

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
}

/** Colour strip beside threading and lifting plan, and the gap round it, cells. */
const stripCells = 1;
const gapCells = 1;

export interface SheetSize {
  readonly columns: number;
  readonly rows: number;
}

export function sheetSize(sheet: DraftSheet): SheetSize {
  return {
    columns: sheet.drawdown.ends + 2 * gapCells + stripCells + rightColumns(sheet),
    rows: sheet.drawdown.rows + 2 * gapCells + stripCells + sheet.shafts,
  };
}

function rightColumns(sheet: DraftSheet): number {
  return sheet.tieUp ? sheet.tieUp.length : sheet.shafts;
}

/** First row of the drawdown's block and first column of the plan's, cells from the top left. */
function blocks(sheet: DraftSheet) {
  return {
    drawdownTop: sheet.shafts + stripCells + 2 * gapCells,
    stripTop: sheet.shafts + gapCells,
    stripLeft: sheet.drawdown.ends + gapCells,
    planLeft: sheet.drawdown.ends + stripCells + 2 * gapCells,
  };
}

export interface SheetWindow {
  readonly leftPx: number;
  readonly topPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly cellPx: number;
}

/**
 * Draws what of the sheet shows in the window: threading above (shaft 1 lowest), tie-up or nothing at the corner,
 * drawdown below with the first pick lowest, as the cloth grows, and the lifts to its right.
 */
export function paintDraft(
  context: CanvasRenderingContext2D,
  sheet: DraftSheet,
  window: SheetWindow,
  ink: InkColours,
): void {
  const { cellPx: c, leftPx, topPx, widthPx, heightPx } = window;
  const { ends, rows } = sheet.drawdown;
  const { drawdownTop, stripTop, stripLeft, planLeft } = blocks(sheet);
  context.clearRect(0, 0, widthPx, heightPx);
  const cell = (column: number, row: number) => context.fillRect(column * c - leftPx, row * c - topPx, c, c);
  const dot = (column: number, row: number) => {
    const inset = c > 5 ? 1 : 0;
    context.fillRect(column * c - leftPx + inset, row * c - topPx + inset, c - 2 * inset, c - 2 * inset);
  };
  const firstEnd = clampCell(Math.floor(leftPx / c), ends);
  const lastEnd = clampCell(Math.ceil((leftPx + widthPx) / c), ends);
  const firstLine = clampCell(Math.floor(topPx / c) - drawdownTop, rows);
  const lastLine = clampCell(Math.ceil((topPx + heightPx) / c) - drawdownTop, rows);

  grid(context, window, ink, 0, 0, ends, sheet.shafts);
  grid(context, window, ink, 0, drawdownTop, ends, rows);
  grid(context, window, ink, planLeft, drawdownTop, rightColumns(sheet), rows);

  for (let end = firstEnd; end < lastEnd; end++) {
    context.fillStyle = sheet.endColours[end];
    cell(end, stripTop);
    const shaft = sheet.threading[end];
    context.fillStyle = ink.ink;
    if (shaft > 0) dot(end, sheet.shafts - shaft);
  }
  for (let line = firstLine; line < lastLine; line++) {
    const row = rows - 1 - line;
    context.fillStyle = sheet.rowColours[row];
    cell(stripLeft, drawdownTop + line);
    context.fillStyle = ink.ink;
    for (let end = firstEnd; end < lastEnd; end++) {
      if (isWarpUp(sheet.drawdown, row, end)) dot(end, drawdownTop + line);
    }
    for (const lift of sheet.lifts[row]) dot(planLeft + lift - 1, drawdownTop + line);
  }
  if (sheet.tieUp) {
    grid(context, window, ink, planLeft, 0, sheet.tieUp.length, sheet.shafts);
    context.fillStyle = ink.ink;
    sheet.tieUp.forEach((shafts, treadle) => {
      for (const shaft of shafts) dot(planLeft + treadle, sheet.shafts - shaft);
    });
  }
}

/** Lines between cells, where cells are wide enough to need them; every fourth stands out. */
function grid(
  context: CanvasRenderingContext2D,
  window: SheetWindow,
  ink: InkColours,
  left: number,
  top: number,
  columns: number,
  rows: number,
): void {
  const { cellPx: c, leftPx, topPx, widthPx, heightPx } = window;
  const x0 = left * c - leftPx;
  const y0 = top * c - topPx;
  const x1 = Math.min(x0 + columns * c, widthPx);
  const y1 = Math.min(y0 + rows * c, heightPx);
  const step = c >= 6 ? 1 : 4;
  context.fillStyle = ink.hairline;
  const yFrom = Math.max(y0, 0);
  const xFrom = Math.max(x0, 0);
  if (yFrom > y1 || xFrom > x1) return;
  for (let column = 0; column <= columns; column += step) {
    const x = x0 + column * c;
    if (x >= 0 && x <= widthPx) context.fillRect(x, yFrom, 1, y1 - yFrom);
  }
  // Counted from below, as picks and shafts are.
  for (let row = 0; row <= rows; row += step) {
    const y = y0 + (rows - row) * c;
    if (y >= 0 && y <= heightPx) context.fillRect(xFrom, y, x1 - xFrom, 1);
  }
}

function clampCell(cell: number, count: number): number {
  return Math.min(Math.max(cell, 0), count);
}
