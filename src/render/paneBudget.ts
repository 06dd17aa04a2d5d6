import { BYTES_PER_PIXEL } from './pictureTargets.ts';

/** What all targets of a 1080p canvas may take together, bytes. */
export const MOST_BYTES = 96e6;
/** However large the canvas, at most this many picture pixels. */
const MOST_PIXELS = 4e6;

/**
 * Picture pixels to one of the canvas, 0..1, such that the pictures' targets keep within memory: up to 96 MB together, on
 * canvases beyond 1080p as many pixels as the canvas has, up to 4 MP.
 * @param framePixels pixels of the canvas that all pictures cover, each counted by itself
 */
export function pictureScale(framePixels: number, canvasPixels: number, bytesPerPixel = BYTES_PER_PIXEL): number {
  const inMemory = MOST_BYTES / bytesPerPixel;
  const budget = Math.min(MOST_PIXELS, Math.max(inMemory, canvasPixels > FULL_HD_PIXELS ? canvasPixels : 0));
  return Math.min(1, Math.sqrt(budget / Math.max(1, framePixels)));
}

const FULL_HD_PIXELS = 1920 * 1080;
