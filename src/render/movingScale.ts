import type { DrawTime } from './gpuTimer.ts';

/** While the picture moves, the GPU should take no longer than this for all of it: half a frame at 60 Hz. */
export const MOVING_MS = 8;
/** Where the GPU does not tell: from the first tile until the last one's fence was seen, which happens once a frame. */
const MOVING_PASS_MS = 20;
/** A pass this many times too long is followed by the fewest pixels at once: the next ones may not end before the hand moves on. */
const FAR_TOO_LONG = 10;
/** Few, since each change of size makes new targets. */
const SCALES = [1, 0.84, 0.7, 0.59, 0.5, 0.42, 0.35];
/** Tiles smaller than this tell more of their overhead than of the picture. */
const LEAST_PIXELS = 128 * 128;
/** Weight of the newest time: moving the picture changes what a pixel costs. */
const NEWEST = 0.4;
/** More pixels only where they would take this share of the time, so that the size does not go to and fro. */
const TO_SPARE = 0.85;
/** Passes for which a size that took too long is not tried again. */
const WAIT = 30;

/** How many pixels a moving picture may have, from what the last ones took. */
export class MovingScale {
  private step = 0;
  private msPerPixel: number | undefined;
  /**
   * Passes left in which a size is not tried again. Where threads grow finer than a pixel, coarser pixels show the far picture
   * and are cheaper each, so their times do not tell what the finer ones take.
   */
  private readonly waits = SCALES.map(() => 0);

  /** Picture pixels to one of the canvas, on a side. */
  get scale(): number {
    return SCALES[this.step];
  }

  /** @param pixels of the whole picture at scale 1 */
  learn(took: DrawTime, pixels: number): void {
    if (took.gpuMs === undefined || took.pixels < LEAST_PIXELS) return;
    const now = took.gpuMs / took.pixels;
    this.msPerPixel = this.msPerPixel === undefined ? now : (1 - NEWEST) * this.msPerPixel + NEWEST * now;
    const whole = this.msPerPixel * pixels;
    this.waits.forEach((left, step) => {
      this.waits[step] = Math.max(0, left - 1);
    });
    if (now * pixels * this.scale ** 2 > MOVING_MS / TO_SPARE) this.waits[this.step] = WAIT;
    const fits = SCALES.findIndex((scale, step) => whole * scale ** 2 <= MOVING_MS && this.waits[step] === 0);
    if (fits < 0) this.step = SCALES.length - 1;
    else if (fits > this.step || whole * SCALES[fits] ** 2 <= TO_SPARE * MOVING_MS) this.step = fits;
  }

  /** A whole picture's time as the page saw it; counts only where the GPU tells none. */
  learnPass(elapsedMs: number): void {
    if (this.msPerPixel !== undefined) return;
    if (elapsedMs > FAR_TOO_LONG * MOVING_PASS_MS) this.step = SCALES.length - 1;
    else if (elapsedMs > 2 * MOVING_PASS_MS) this.step = Math.min(SCALES.length - 1, this.step + 2);
    else if (elapsedMs < MOVING_PASS_MS / 2) this.step = Math.max(0, this.step - 1);
  }
}
