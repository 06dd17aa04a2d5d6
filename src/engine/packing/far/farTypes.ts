/**
 * The cloth as seen where threads are finer than a pixel. Crossings that look alike are one class; of each class a set of
 * surface patches ("surfels") is kept, for face and back, and of each patch what the geometry hides from it. Everything
 * seen from afar follows: a patch shows to the eye, and to the light, where the direction rises above its horizon.
 *
 * Class texels (RGBA32F, CLASS_TEXELS a class):
 *   0  first surfel and count for the face, first and count for the back
 *   1  material of warp, of weft; area that one crossing of this class takes, mm²; its
 *      crossings over all
 *   2  mean colour that warp passes on to neighbours, its group      3  the same of weft, 0
 * Surfel texels (RGBA32F, SURFEL_TEXELS a surfel):
 *   0  unit normal, area over the crossing's area
 *   1  unit vector along the thread, 1 for warp or 0 for weft
 *   2  mean over directions about the normal (cosine-weighted) of direction where open; share of them that is open
 *   3  share of them that meet warp; azimuth of the first horizon, rad; standard deviation of the
 *      thread's direction within the surfel, rad; 0
 *   4, 5, 6  elevation of the horizon, rad, at HORIZONS azimuths, evenly spaced; above it the sky is open
 * View texels (RGBA32F): VIEW_AZIMUTHS across; for each group of classes (those of one weft) VIEW_RINGS up for the face, then
 *   as many for the back: what the shares of warp and of weft that surfels give towards a direction are multiplied by, to be
 *   those that rays find; 0, 0
 */
export interface FarCloth {
  /** Lines and ends after which classes repeat; crossing (line, end) is of class classOf[(line % lines) * ends + end % ends]. */
  readonly lines: number;
  readonly ends: number;
  readonly classOf: Uint8Array;
  readonly classes: number;
  readonly classTable: Float32Array;
  readonly surfels: number;
  readonly surfelTable: Float32Array;
  readonly viewTable: Float32Array;
}

export const CLASS_TEXELS = 4;
export const HORIZONS = 12;
export const SURFEL_TEXELS = 4 + HORIZONS / 4;
/** A byte tells classes apart. */
export const MOST_CLASSES = 255;

/** Wefts whose views are fitted apart: bands of one cloth may be closed and open. What comes after shares the last. */
export const MOST_GROUPS = 12;
/** Where a class's group stands in the class table, numbers from the class's first. */
export const GROUP_AT = 11;

/** Azimuths are multiples of 360° / VIEW_AZIMUTHS, so that views along the threads are among them. */
export const VIEW_AZIMUTHS = 16;
export const VIEW_RINGS = 6;
/** Inclinations of the rings, degrees from the normal. */
export const RING_DEGREES = [0, 25, 45, 60, 70, 78] as const;

/** Bound of the loop over a class's surfels on one side. */
export const MOST_SURFELS = 4096;

/** Names and values for `#define`. */
export function farConstants(): Record<string, string> {
  const defines: Record<string, string> = { FAR_RING_DEGREES: RING_DEGREES.map((d) => d.toFixed(1)).join(', ') };
  const whole = { CLASS_TEXELS, SURFEL_TEXELS, HORIZONS, VIEW_AZIMUTHS, VIEW_RINGS, MOST_SURFELS };
  for (const [name, value] of Object.entries(whole)) defines[name] = value.toFixed(0);
  return defines;
}
