import { withResolution } from '#io/pngResolution.ts';
import type { CaptureResult } from '#render/clothViewTypes.ts';

/** Pictures side by side, with a ruler below where asked, and their scale written in where it is true. */
export interface SheetOptions {
  readonly mmPerPx: number;
  readonly ruler: boolean;
  readonly trueScale: boolean;
  /** sRGB code of the ground. */
  readonly ground: string;
}

const GAP_MM = 6;
const RULER_MM = 9;

/** Height that a ruler adds to a sheet, px. */
export function rulerHeightPx(mmPerPx: number): number {
  return Math.max(24, Math.round(RULER_MM / mmPerPx));
}

export function gapPx(mmPerPx: number): number {
  return Math.max(4, Math.round(GAP_MM / mmPerPx));
}

/** PNG bytes of a sheet of pictures of one height. */
export async function sheetPng(pictures: readonly CaptureResult[], options: SheetOptions): Promise<Uint8Array> {
  const gap = gapPx(options.mmPerPx);
  const width = pictures.reduce((sum, picture) => sum + picture.width, gap * (pictures.length - 1));
  const { height } = pictures[0];
  const canvas = new OffscreenCanvas(width, height + (options.ruler ? rulerHeightPx(options.mmPerPx) : 0));
  const context = canvas.getContext('2d');
  if (!context) throw new Error('This browser gives no 2-D canvas to write the picture with.');
  context.fillStyle = options.ground;
  context.fillRect(0, 0, canvas.width, canvas.height);
  let x = 0;
  for (const picture of pictures) {
    context.putImageData(new ImageData(Uint8ClampedArray.from(picture.pixels), picture.width, height), x, 0);
    x += picture.width + gap;
  }
  if (options.ruler) drawRuler(context, 0, height, width, options.mmPerPx);
  const png = new Uint8Array(await (await canvas.convertToBlob({ type: 'image/png' })).arrayBuffer());
  return options.trueScale ? withResolution(png, 1000 / options.mmPerPx) : png;
}

/** Steps of a ruler whose marks stand at least this far apart, and figures four times as far. */
const LEAST_MARK_PX = 4;
const STEPS_MM = [0.1, 0.5, 1, 5, 10, 50, 100];

function drawRuler(
  context: OffscreenCanvasRenderingContext2D,
  left: number,
  top: number,
  width: number,
  mmPerPx: number,
): void {
  const height = rulerHeightPx(mmPerPx);
  const size = Math.round(height * 0.36);
  const step = STEPS_MM.find((mm) => mm / mmPerPx >= LEAST_MARK_PX) ?? 100;
  context.fillStyle = '#222';
  context.font = `${size}px sans-serif`;
  context.textBaseline = 'bottom';
  const marks = Math.floor((width * mmPerPx) / step);
  let free = 0;
  for (let k = 0; k <= marks; k++) {
    const x = left + Math.round((k * step) / mmPerPx);
    const long = k % 10 === 0;
    context.fillRect(x, top, Math.max(1, height / 40), height * (long ? 0.5 : k % 5 === 0 ? 0.36 : 0.22));
    const label = `${Number((k * step).toFixed(1))}${k === 0 ? ' mm' : ''}`;
    if (!long || x < free || x + context.measureText(label).width > left + width) continue;
    context.fillText(label, x + 2, top + height);
    free = x + context.measureText(label).width + 2 * size;
  }
}
