/**
 * The cloth where threads are finer than a pixel. Crossings that look alike are one class; what a class shows is found where
 * the picture is drawn, by lines of sight through cells of it, met and lit as any other (docs/decisions.md). So this says
 * only which crossing is of which class, and where each class is looked at.
 */
export interface FarCloth {
  /** Lines and ends after which classes repeat; crossing (line, end) is of class classOf[(line % lines) * ends + end % ends]. */
  readonly lines: number;
  readonly ends: number;
  readonly classOf: Uint8Array;
  readonly classes: number;
  /** Of each class: its crossings over all. */
  readonly share: Float32Array;
  /**
   * RGBA32F texels, PLACES places a class, PLACE_TEXELS each: x0, y0, x1, y1 (mm, cloth axes) of the cell about one of its
   * crossings, from halfway to the threads before to halfway to those after; x and y of its threads, 0, 0.
   */
  readonly placeTable: Float32Array;
}

/** Cells that a class is looked at in: flakes and patches differ from cell to cell, and 32 stood for a net to 5 % only. */
export const PLACES = 128;
export const PLACE_TEXELS = 2;
/** A byte tells classes apart. */
export const MOST_CLASSES = 255;
/** Lines of sight that one pass draws of a class at most. */
export const MOST_KIND_RAYS = 2048;

/** Names and values for `#define`. */
export function farConstants(): Record<string, string> {
  return { PLACES: `${PLACES}`, PLACE_TEXELS: `${PLACE_TEXELS}`, MOST_KIND_RAYS: `${MOST_KIND_RAYS}` };
}
