import { clothPose } from '#app/model/clothPose.ts';
import { withResolution } from '#io/pngResolution.ts';
import type { ClothView } from '#render/clothView.ts';
import type { CaptureOptions, CaptureResult } from '#render/clothViewTypes.ts';
import { gapPx, rulerHeightPx, type SheetPlan } from './sheetPlan.ts';

export interface SheetOptions extends Omit<CaptureOptions, 'onShown'> {
  /** Called now and then with the sheet of traced pictures as far as it has come, coarse at first. */
  readonly onShown?: (sheet: OffscreenCanvas) => void;
  /** Samples a pixel. */
  readonly samples: number;
  /** The scale is written into the file. */
  readonly trueScale: boolean;
  /** sRGB code of the ground. */
  readonly ground: string;
  /** What a ruler is marked in; mm by default. */
  readonly rulerIn?: keyof typeof rulers;
}

/**
 * Draws the pictures of a plan beside each other, with a ruler below where planned, as the bytes of a PNG.
 * @param view holds the cloth and its light; its pose is changed
 * @throws the signal's reason when stopped
 */
export async function drawSheet(
  view: ClothView,
  plan: SheetPlan,
  options: SheetOptions,
): Promise<Uint8Array<ArrayBuffer>> {
  const { poses, picture, sheet, mmPerPx } = plan;
  const { reference, signal, onProgress } = options;
  const canvas = new OffscreenCanvas(sheet.widthPx, sheet.heightPx);
  const context = canvas.getContext('2d');
  if (!context) throw new Error('This browser gives no 2-D canvas to write the picture with.');
  context.fillStyle = options.ground;
  context.fillRect(0, 0, canvas.width, canvas.height);
  for (const [k, pose] of poses.entries()) {
    const put = ({ pixels, width, height }: CaptureResult) =>
      context.putImageData(new ImageData(pixels, width, height), k * (width + gapPx(mmPerPx)), 0);
    view.setView(clothPose(pose, 1));
    const { onShown } = options;
    const drawn = await view.capture(picture.widthPx, picture.heightPx, options.samples, {
      reference,
      drape: options.drape,
      signal,
      onShown:
        onShown &&
        ((soFar) => {
          put(soFar);
          onShown(canvas);
        }),
      onProgress: (done, wanted) => onProgress?.(k * wanted + done, poses.length * wanted),
    });
    put(drawn);
  }
  if (plan.ruler) drawRuler(context, picture.heightPx, sheet.widthPx, mmPerPx, rulers[options.rulerIn ?? 'mm']);
  const png = new Uint8Array(await (await canvas.convertToBlob({ type: 'image/png' })).arrayBuffer());
  signal?.throwIfAborted();
  return options.trueScale ? withResolution(png, 1000 / mmPerPx) : png;
}

/** Steps of a ruler whose marks stand at least this far apart, and figures four times as far. */
const LEAST_MARK_PX = 4;

interface Ruler {
  readonly unit: string;
  readonly mm: number;
  /** Distances of marks that may be, in the unit. */
  readonly steps: readonly number[];
}

const rulers = {
  mm: { unit: 'mm', mm: 1, steps: [0.1, 0.5, 1, 5, 10, 50, 100] },
  cm: { unit: 'cm', mm: 10, steps: [0.01, 0.05, 0.1, 0.5, 1, 5, 10] },
  inch: { unit: 'in', mm: 25.4, steps: [0.01, 0.05, 0.1, 0.5, 1, 5] },
} as const satisfies Record<string, Ruler>;

function drawRuler(
  context: OffscreenCanvasRenderingContext2D,
  top: number,
  width: number,
  mmPerPx: number,
  { unit, mm, steps }: Ruler,
): void {
  const height = rulerHeightPx(mmPerPx);
  const size = Math.round(height * 0.36);
  const step = steps.find((each) => (each * mm) / mmPerPx >= LEAST_MARK_PX) ?? steps[steps.length - 1];
  const stepPx = (step * mm) / mmPerPx;
  context.fillStyle = '#222';
  context.font = `${size}px sans-serif`;
  context.textBaseline = 'bottom';
  const marks = Math.floor(width / stepPx);
  let free = 0;
  for (let k = 0; k <= marks; k++) {
    const x = Math.round(k * stepPx);
    const long = k % 10 === 0;
    context.fillRect(x, top, Math.max(1, height / 40), height * (long ? 0.5 : k % 5 === 0 ? 0.36 : 0.22));
    const label = `${Number((k * step).toFixed(1))}${k === 0 ? ` ${unit}` : ''}`;
    if (!long || x < free || x + context.measureText(label).width > width) continue;
    context.fillText(label, x + 2, top + height);
    free = x + context.measureText(label).width + 2 * size;
  }
}
