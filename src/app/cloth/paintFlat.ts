import { clothPointAt, type PanelSize, type Pose, sideOf } from '#app/model/pose.ts';
import { codesFromLinear, luminance } from '#engine/colour/colour.ts';
import { type FlatThreads, seenAt } from './flatThreads.ts';

/** A picture of the panel, in px of the image. */
export interface FlatPane {
  readonly threads: FlatThreads;
  /** As this picture shows it: what lies in the middle, how near and how turned. */
  readonly pose: Pose;
  /** Of the frame, CSS px. */
  readonly size: PanelSize;
  /** Where the frame begins, and the part of the panel that is painted, CSS px. */
  readonly frame: { readonly xPx: number; readonly yPx: number };
  readonly clip: { readonly xPx: number; readonly yPx: number; readonly widthPx: number; readonly heightPx: number };
}

/** Looks taken at a pixel along a side, at most: enough that threads of a quarter of it blend. */
const MOST_LOOKS = 4;

const CODES = 1024;
let codes: Uint8ClampedArray | undefined;

/** Codes of even steps of light, so that a pixel's mean is written without a sum of powers. */
function codeOf(light: number): number {
  codes ??= Uint8ClampedArray.from({ length: CODES + 1 }, (_, k) => {
    const value = k / CODES;
    return codesFromLinear([value, value, value])[0];
  });
  return codes[Math.round(CODES * Math.min(1, Math.max(0, light)))];
}

/**
 * Paints the cloth as its threads lie, without thickness, light or relief: what is seen at each pixel, the mean of several looks
 * where threads are finer, in linear light. Gaps stay as they were.
 * @param ratio device px to a CSS px
 */
export function paintFlat(image: ImageData, pane: FlatPane, ratio: number, lightnessOnly: boolean, quick: boolean) {
  const { threads, pose, size, frame, clip } = pane;
  const side = sideOf(pose);
  const pitchMm = Math.min(pitchOf(threads.ends), pitchOf(threads.rows));
  const looks = quick ? 1 : Math.min(MOST_LOOKS, Math.max(1, Math.ceil((2 * pose.mmPerPx) / ratio / pitchMm)));
  const weight = 1 / (looks * looks);
  const bounds = (from: number, length: number, most: number) =>
    [Math.max(0, Math.round(from * ratio)), Math.min(most, Math.round((from + length) * ratio))] as const;
  const [fromX, toX] = bounds(clip.xPx, clip.widthPx, image.width);
  const [fromY, toY] = bounds(clip.yPx, clip.heightPx, image.height);
  for (let y = fromY; y < toY; y++) {
    for (let x = fromX; x < toX; x++) {
      let [red, green, blue, seen] = [0, 0, 0, 0];
      for (let look = 0; look < looks * looks; look++) {
        const xPx = (x + ((look % looks) + 0.5) / looks) / ratio - frame.xPx;
        const yPx = (y + (Math.floor(look / looks) + 0.5) / looks) / ratio - frame.yPx;
        const point = clothPointAt(pose, size, xPx, yPx);
        const light = point && seenAt(threads, point.xMm, point.yMm, side);
        if (!light) continue;
        red += light[0];
        green += light[1];
        blue += light[2];
        seen++;
      }
      if (seen === 0) continue;
      if (lightnessOnly) {
        // And so of the same lightness.
        red = luminance([red, green, blue]);
        green = red;
        blue = red;
      }
      const at = 4 * (y * image.width + x);
      image.data[at] = codeOf(red / seen);
      image.data[at + 1] = codeOf(green / seen);
      image.data[at + 2] = codeOf(blue / seen);
      image.data[at + 3] = Math.round(255 * seen * weight);
    }
  }
}

function pitchOf({ stepMm, nearest, stacks }: FlatThreads['ends']): number {
  return (stepMm * nearest.length) / stacks.length;
}
