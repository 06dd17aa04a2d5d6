import { BYTES_PER_PIXEL } from './pictureTargets.ts';

/** What all targets of a 1080p canvas may take together, bytes. */
export const MOST_BYTES = 100e6;
/** However large the canvas, at most this many picture pixels. */
const MOST_PIXELS = 4e6;

/**
 * Picture pixels to one of the canvas, 0..1, such that the pictures' targets keep within memory: up to 100 MB together, on
 * canvases beyond 1080p as much as targets of the canvas's own size take, up to 4 MP.
 * @param framePixels pixels of the canvas that all pictures cover, each counted by itself
 * @param besides bytes of all else that goes with a share of those pixels (0..1), rising: the pictures from afar
 */
export function pictureScale(
  framePixels: number,
  canvasPixels: number,
  bytesPerPixel = BYTES_PER_PIXEL,
  besides: (share: number) => number = () => 0,
): number {
  const most = Math.min(1, MOST_PIXELS / Math.max(1, framePixels));
  const beyond = canvasPixels > FULL_HD_PIXELS ? Math.min(MOST_PIXELS, canvasPixels) * bytesPerPixel : 0;
  const memory = Math.max(MOST_BYTES, beyond);
  const bytes = (share: number) => share * framePixels * bytesPerPixel + besides(share);
  if (bytes(most) <= memory) return Math.sqrt(most);
  let [low, high] = [0, most];
  for (let step = 0; step < SHARE_STEPS; step++) {
    const middle = 0.5 * (low + high);
    if (bytes(middle) <= memory) low = middle;
    else high = middle;
  }
  return Math.sqrt(low);
}

const FULL_HD_PIXELS = 1920 * 1080;
/** Halvings: a share to far less than a pixel. */
const SHARE_STEPS = 32;
