import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';

/** The drawdown in the colours of its threads, one pixel a crossing, first pick lowest. */
export interface ColouredDrawdown {
  readonly drawdown: Drawdown;
  /** Linear order of sRGB bytes [r, g, b] per end and per row. */
  readonly endRgb: readonly (readonly [number, number, number])[];
  readonly rowRgb: readonly (readonly [number, number, number])[];
  /** First and last end that a row passes, inclusive. */
  readonly rowFirst: ArrayLike<number>;
  readonly rowLast: ArrayLike<number>;
}

/** Largest picture that every browser still draws, px a side; beyond it crossings are skipped evenly. */
const mostPx = 4096;

/**
 * Flat picture of face or back: uppermost thread's colour at each crossing. The back has the complementary lifts and
 * is seen turned about the vertical.
 */
export function drawdownImage(cloth: ColouredDrawdown, side: 'face' | 'back'): ImageData {
  const { drawdown } = cloth;
  const step = Math.ceil(Math.max(drawdown.ends, drawdown.rows) / mostPx);
  const width = Math.floor((drawdown.ends - 1) / step) + 1;
  const height = Math.floor((drawdown.rows - 1) / step) + 1;
  const image = new ImageData(width, height);
  for (let y = 0; y < height; y++) {
    const row = (height - 1 - y) * step;
    for (let x = 0; x < width; x++) {
      const end = (side === 'face' ? x : width - 1 - x) * step;
      const passed = end >= cloth.rowFirst[row] && end <= cloth.rowLast[row];
      const warpSeen = !passed || isWarpUp(drawdown, row, end) === (side === 'face');
      const rgb = warpSeen ? cloth.endRgb[end] : cloth.rowRgb[row];
      const at = 4 * (y * width + x);
      image.data[at] = rgb[0];
      image.data[at + 1] = rgb[1];
      image.data[at + 2] = rgb[2];
      image.data[at + 3] = 255;
    }
  }
  return image;
}

/** "#rrggbb" to bytes. */
export function rgbOf(colour: string): [number, number, number] {
  const value = Number.parseInt(colour.slice(1), 16);
  return [(value >> 16) & 255, (value >> 8) & 255, value & 255];
}
