import { isWarpUp } from '#engine/draft/drawdown.ts';
import { type Cell, cellsOfLine, cellsOfRectangle } from '#engine/draft/rearrange.ts';
import { type DraftLayout, type DraftScroll, planColumns } from './draftLayout.ts';
import type { DraftSheet } from './paintDraft.ts';

export type DraftPart = 'threading' | 'tieUp' | 'lifts' | 'drawdown';

/**
 * A square of the drawn sheet. `x`: end, or treadle or shaft from 0; `y`: row, or in threading and tie-up the shaft from
 * 0; both as drawn, `y` counted from below.
 */
export interface DraftCell extends Cell {
  readonly part: DraftPart;
}

export type DraftTool = 'choose' | 'mark' | 'line' | 'rectangle' | 'area';

/** Columns and lines of a part. */
function partSize(sheet: DraftSheet, part: DraftPart): { readonly columns: number; readonly lines: number } {
  const { ends, rows } = sheet.drawdown;
  const lines = part === 'threading' || part === 'tieUp' ? sheet.shafts : rows;
  return { columns: part === 'threading' || part === 'drawdown' ? ends : planColumns(sheet), lines };
}

/** Where a part's lower left corner lies, px. */
function originOf(layout: DraftLayout, sheet: DraftSheet, scroll: DraftScroll, part: DraftPart): Cell {
  const { cellPx: c, left, top, threadingTop, planLeft } = layout;
  const alongX = part === 'threading' || part === 'drawdown';
  const alongY = part === 'lifts' || part === 'drawdown';
  return {
    x: alongX ? left - scroll.x : planLeft,
    y: alongY ? top + sheet.drawdown.rows * c - scroll.y : threadingTop + sheet.shafts * c,
  };
}

/** The square of a cell, px: left, top. */
export function cellCorner(layout: DraftLayout, sheet: DraftSheet, scroll: DraftScroll, cell: DraftCell): Cell {
  const origin = originOf(layout, sheet, scroll, cell.part);
  return { x: origin.x + cell.x * layout.cellPx, y: origin.y - (cell.y + 1) * layout.cellPx };
}

/** The cell under a point. With `part`, the nearest one of that part, so that a stroke stays where it began. */
export function cellAt(
  layout: DraftLayout,
  sheet: DraftSheet,
  scroll: DraftScroll,
  xPx: number,
  yPx: number,
  part?: DraftPart,
): DraftCell | undefined {
  const { left, top, width, height } = layout;
  const parts: readonly DraftPart[] = part
    ? [part]
    : ['drawdown', 'threading', 'lifts', ...(sheet.tieUp ? (['tieUp'] as const) : [])];
  for (const each of parts) {
    const origin = originOf(layout, sheet, scroll, each);
    const { columns, lines } = partSize(sheet, each);
    const x = Math.floor((xPx - origin.x) / layout.cellPx);
    const y = Math.floor((origin.y - yPx) / layout.cellPx);
    if (part) return { part, x: Math.min(Math.max(x, 0), columns - 1), y: Math.min(Math.max(y, 0), lines - 1) };
    const inWindow =
      (each === 'lifts' || each === 'tieUp' || (xPx >= left && xPx < left + width)) &&
      (each === 'threading' || each === 'tieUp' || (yPx >= top && yPx < top + height));
    if (inWindow && x >= 0 && x < columns && y >= 0 && y < lines) return { part: each, x, y };
  }
  return undefined;
}

/** Whether a cell is drawn filled. */
export function isFilled(sheet: DraftSheet, { part, x, y }: DraftCell): boolean {
  switch (part) {
    case 'drawdown':
      return isWarpUp(sheet.drawdown, y, x);
    case 'threading':
      return sheet.threading[x] === y + 1;
    case 'lifts':
      return sheet.lifts[y].includes(x + 1);
    case 'tieUp':
      return sheet.tieUp?.[x]?.includes(y + 1) ?? false;
  }
}

/** What a tool marks between where it was set down and where it is; `path` holds all cells gone over. */
export function cellsOfStroke(tool: DraftTool, path: readonly DraftCell[]): DraftCell[] {
  const [first] = path;
  const last = path[path.length - 1];
  const { part } = first;
  const inPart = (cells: readonly Cell[]) => cells.map(({ x, y }) => ({ part, x, y }));
  if (tool === 'line') return inPart(cellsOfLine(first, last));
  if (tool === 'rectangle' || tool === 'area') return inPart(cellsOfRectangle(first, last));
  const known = new Map<string, DraftCell>();
  path.forEach((cell, i) => {
    // A quick hand skips cells between two events.
    for (const each of inPart(cellsOfLine(path[Math.max(i - 1, 0)], cell))) known.set(`${each.x} ${each.y}`, each);
  });
  return [...known.values()];
}

/**
 * The next cell an arrow key away. Over the edge lies the next part: threading above the drawdown, lifts to its right,
 * the tie-up in the corner.
 */
export function stepCell(sheet: DraftSheet, cell: DraftCell, dx: number, dy: number): DraftCell {
  const { columns, lines } = partSize(sheet, cell.part);
  const x = cell.x + dx;
  const y = cell.y + dy;
  if (x >= 0 && x < columns && y >= 0 && y < lines) return { ...cell, x, y };
  const part = overTheEdge(cell.part, dx, dy, sheet.tieUp !== undefined);
  if (!part) return cell;
  const size = partSize(sheet, part);
  return {
    part,
    x: dx === 0 ? Math.min(cell.x, size.columns - 1) : dx > 0 ? 0 : size.columns - 1,
    y: dy === 0 ? Math.min(cell.y, size.lines - 1) : dy > 0 ? 0 : size.lines - 1,
  };
}

function overTheEdge(part: DraftPart, dx: number, dy: number, tied: boolean): DraftPart | undefined {
  if (part === 'drawdown') return dx > 0 ? 'lifts' : dy > 0 ? 'threading' : undefined;
  if (part === 'threading') return dy < 0 ? 'drawdown' : dx > 0 && tied ? 'tieUp' : undefined;
  if (part === 'lifts') return dx < 0 ? 'drawdown' : dy > 0 && tied ? 'tieUp' : undefined;
  return dx < 0 ? 'threading' : dy < 0 ? 'lifts' : undefined;
}
