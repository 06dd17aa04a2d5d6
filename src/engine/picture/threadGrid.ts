import type { Millimetres, PerCentimetre } from '#engine/units/units.ts';

/** Threads per cm both ways, in one state of the cloth (on the loom, off it, or finished). */
export interface Sett {
  readonly endsPerCm: PerCentimetre;
  readonly picksPerCm: PerCentimetre;
}

/** Threads that a motif takes up, not rounded: columns are ends, rows are picks. */
export function gridOfSize(widthMm: Millimetres, heightMm: Millimetres, sett: Sett) {
  return { columns: (widthMm * sett.endsPerCm) / 10, rows: (heightMm * sett.picksPerCm) / 10 };
}

export function sizeOfGrid(columns: number, rows: number, sett: Sett): { widthMm: Millimetres; heightMm: Millimetres } {
  return { widthMm: (10 * columns) / sett.endsPerCm, heightMm: (10 * rows) / sett.picksPerCm };
}

/** Rows (not rounded) that keep a picture's proportions when it is `columns` ends wide. */
export function rowsInProportion(columns: number, pictureWidth: number, pictureHeight: number, sett: Sett): number {
  return columns * (pictureHeight / pictureWidth) * (sett.picksPerCm / sett.endsPerCm);
}

/** Sett after the cloth has drawn in: losses are shares of the earlier width and length, 0..1. */
export function settAfterLoss(sett: Sett, widthLoss: number, lengthLoss: number): Sett {
  return { endsPerCm: sett.endsPerCm / (1 - widthLoss), picksPerCm: sett.picksPerCm / (1 - lengthLoss) };
}
