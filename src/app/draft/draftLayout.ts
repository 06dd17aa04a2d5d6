import type { DraftSheet } from './paintDraft.ts';

/** Cell sizes to choose from, px. */
export const cellSizesPx = [2, 3, 4, 6, 8, 11, 15, 20];

/** Room for pick numbers on the left and end numbers above the drawdown, px. */
export const pickNumbersPx = 40;
const endNumbersPx = 16;

/** Colour strip beside threading and lifting plan, and the gap round it, cells. */
const stripCells = 1;
const gapCells = 1;

/**
 * Where the parts of the sheet lie in the window, px. Threading and tie-up stay above, lifts to the right, whatever
 * part of the drawdown is scrolled between them; what of these finds no room is cut, never the drawdown.
 */
export interface DraftLayout {
  readonly cellPx: number;
  /** The drawdown's window. */
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** Top of the threading, left of the lifting plan, and the colour strips beside them. */
  readonly threadingTop: number;
  readonly planLeft: number;
  readonly stripTop: number;
  readonly stripLeft: number;
  /** How far the drawdown can be scrolled. */
  readonly mostScrollX: number;
  readonly mostScrollY: number;
}

export function planColumns(sheet: DraftSheet): number {
  return sheet.tieUp ? sheet.tieUp.length : sheet.shafts;
}

export function draftLayout(sheet: DraftSheet, widthPx: number, heightPx: number, cellPx: number): DraftLayout {
  const { ends, rows } = sheet.drawdown;
  const left = pickNumbersPx;
  const threadingTop = 1;
  const stripTop = threadingTop + (sheet.shafts + gapCells) * cellPx;
  const top = stripTop + (stripCells + gapCells) * cellPx + endNumbersPx;
  const besidePx = (planColumns(sheet) + stripCells + 2 * gapCells) * cellPx;
  const width = Math.max(Math.min(ends * cellPx, widthPx - left - besidePx - 1), cellPx);
  const height = Math.max(Math.min(rows * cellPx, heightPx - top - 1), cellPx);
  const stripLeft = left + width + gapCells * cellPx;
  return {
    cellPx,
    left,
    top,
    width,
    height,
    threadingTop,
    planLeft: stripLeft + (stripCells + gapCells) * cellPx,
    stripTop,
    stripLeft,
    mostScrollX: Math.max(ends * cellPx - width, 0),
    mostScrollY: Math.max(rows * cellPx - height, 0),
  };
}

/** Least share of the window that the drawdown keeps each way before cells are made smaller for it. */
const leastShare = 0.36;

/** Index of the largest cell of comfortable size at which threading and lifts leave the drawdown its room. */
export function fittingCellIndex(sheet: DraftSheet, widthPx: number, heightPx: number): number {
  const comfortable = cellSizesPx.indexOf(11);
  for (let index = comfortable; index > 0; index--) {
    const { width, height, cellPx } = draftLayout(sheet, widthPx, heightPx, cellSizesPx[index]);
    const wide = Math.min(widthPx * leastShare, sheet.drawdown.ends * cellPx);
    const high = Math.min(heightPx * leastShare, sheet.drawdown.rows * cellPx);
    if (width >= wide && height >= high) return index;
  }
  return 1;
}

/** A crossing: end and row of the drawdown, from 0; fractions lie between threads. */
export interface DraftPlace {
  readonly end: number;
  readonly row: number;
}

export interface DraftScroll {
  readonly x: number;
  readonly y: number;
}

/** The scroll that shows a place in the middle of the drawdown's window, as far as the cloth goes. */
export function scrollTo(layout: DraftLayout, rows: number, place: DraftPlace): DraftScroll {
  const { cellPx, width, height, mostScrollX, mostScrollY } = layout;
  return {
    x: clamp((place.end + 0.5) * cellPx - width / 2, 0, mostScrollX),
    y: clamp((rows - place.row - 0.5) * cellPx - height / 2, 0, mostScrollY),
  };
}

/** The place at a point of the window, or undefined outside the drawdown, its threading and its lifts. */
export function placeAt(
  layout: DraftLayout,
  sheet: DraftSheet,
  scroll: DraftScroll,
  xPx: number,
  yPx: number,
): { readonly end?: number; readonly row?: number } | undefined {
  const { cellPx, left, top, width, height, planLeft } = layout;
  const { ends, rows } = sheet.drawdown;
  const end = Math.floor((xPx - left + scroll.x) / cellPx);
  const row = rows - 1 - Math.floor((yPx - top + scroll.y) / cellPx);
  const across = xPx >= left && xPx < left + width && end >= 0 && end < ends;
  const along = yPx >= top && yPx < top + height && row >= 0 && row < rows;
  if (across && along) return { end, row };
  if (across && yPx < top - endNumbersPx) return { end };
  if (along && (xPx >= planLeft - 2 * cellPx || xPx < left)) return { row };
  return undefined;
}

/** The place in the middle of the drawdown's window. */
export function middleOf(layout: DraftLayout, rows: number, scroll: DraftScroll): DraftPlace {
  return {
    end: (scroll.x + layout.width / 2) / layout.cellPx - 0.5,
    row: rows - 0.5 - (scroll.y + layout.height / 2) / layout.cellPx,
  };
}

export function clamp(value: number, least: number, most: number): number {
  return Math.min(Math.max(value, least), most);
}
