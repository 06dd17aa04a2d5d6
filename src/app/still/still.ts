import { WebGLRenderer } from 'three';
import { clothPose, extentOf } from '#app/model/clothPose.ts';
import { fitted, type Pose, presetPose, turnedOver } from '#app/model/pose.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { hexFromLinear } from '#engine/colour/colour.ts';
import { readSampleText } from '#io/sampleFile.ts';
import { ClothView } from '#render/clothView.ts';
import type { CaptureResult } from '#render/clothViewTypes.ts';
import { LIGHTS, type LightName } from '#render/lights.ts';
import { ForecastClient } from '#workers/forecastClient.ts';
import type { ForecastJob, ForecastResult } from '#workers/protocol.ts';
import { sheetPng } from './sheet.ts';

/** What is asked of a still picture; the command line checks the ranges. */
export interface StillOptions {
  readonly side: 'face' | 'back' | 'both';
  readonly view: 'square' | 'turned' | 'raking';
  readonly width: number;
  readonly height: number;
  /** Samples a pixel. */
  readonly samples: number;
  /** Traced path by path, many bounces, instead of drawn as on the table. */
  readonly reference?: boolean;
  /** 1 shows all of the cloth, 4 a quarter of its width. */
  readonly zoom?: number;
  /** The scale itself, in place of zoom. */
  readonly mmPerPx?: number;
  /** True size at so many pixels an inch, written into the file; in place of zoom. Width and height 0: the whole cloth. */
  readonly dotsPerInch?: number;
  /** A ruler below, in mm of cloth. */
  readonly ruler?: boolean;
  /** A light of #render/lights.ts; the window by default. */
  readonly light?: LightName;
}

export interface Still {
  readonly pngBase64: string;
  readonly readings: Readings;
}

declare global {
  interface Window {
    foreclothStills?: (sampleText: string, views: readonly StillOptions[]) => Promise<Still[]>;
  }
}

/** The same grey behind every still, in linear light: pictures for a page of paper or a guide, not for the table. */
const stillBackground = [0.7, 0.7, 0.7] as const;

/**
 * Draws a sample file once, without the table. The page's own pose and forecast are used, so that a still is what the
 * table would show.
 * @throws Error with one line for each thing wrong with the file, or why it cannot be drawn.
 */
export async function drawStill(sampleText: string, options: StillOptions): Promise<Still> {
  return (await drawStills(sampleText, [options]))[0];
}

/** Several views of one sample, from one forecast; as `drawStill`. */
export async function drawStills(sampleText: string, views: readonly StillOptions[]): Promise<Still[]> {
  const sample = readSampleText(sampleText);
  if (!sample.ok) throw new Error(sample.problems.map((problem) => problem.message).join('\n'));
  const cloth = sampleCloth(sample.value);
  if (!cloth.ok) throw new Error(cloth.trouble.why);
  const { problem, materials } = cloth.value;
  const result = await settledForecast({ region: 'whole', quality: 'settled', problem, materials });

  const renderer = new WebGLRenderer({ canvas: document.createElement('canvas'), antialias: false });
  const view = new ClothView(renderer, { background: stillBackground });
  try {
    view.setCloth(result.packed);
    const stills: Still[] = [];
    for (const options of views) {
      view.setLight(LIGHTS[options.light ?? 'window'].light);
      const { widthPx, heightPx } = pictureSize(result, options);
      const pictures: CaptureResult[] = [];
      let mmPerPx = 1;
      for (const side of options.side === 'both' ? (['face', 'back'] as const) : [options.side]) {
        const pose = stillPose(result, { ...options, width: widthPx, height: heightPx }, side);
        mmPerPx = pose.mmPerPx;
        view.setView(clothPose(pose, 1));
        pictures.push(await view.capture(widthPx, heightPx, options.samples, { reference: options.reference }));
      }
      const png = await sheetPng(pictures, {
        mmPerPx,
        ruler: options.ruler ?? false,
        trueScale: options.dotsPerInch !== undefined,
        ground: hexFromLinear(stillBackground),
      });
      stills.push({ pngBase64: base64(png), readings: result.readings });
    }
    return stills;
  } finally {
    view.dispose();
    renderer.dispose();
  }
}

function settledForecast(job: Omit<ForecastJob, 'jobId' | 'revision'>): Promise<ForecastResult> {
  const client = new ForecastClient();
  return new Promise<ForecastResult>((resolve, reject) => {
    client.request(job, {
      onDone: resolve,
      onFailed: (where, why) => reject(new Error(`No forecast (${where}): ${why}`)),
    });
  }).finally(() => client.dispose());
}

const MM_PER_INCH = 25.4;
/** Cloth-coloured ground left around a whole cloth at true size, mm. */
const MARGIN_MM = 4;
const MOST_PX = 6000;

/** @throws Error where the whole cloth at true size is beyond what a picture holds */
function pictureSize(result: ForecastResult, options: StillOptions): { widthPx: number; heightPx: number } {
  if (options.dotsPerInch === undefined || options.width > 0) {
    return { widthPx: options.width, heightPx: options.height };
  }
  const { min, max } = result.packed.bounds;
  const toPx = (mm: number) => Math.ceil(((mm + 2 * MARGIN_MM) * options.dotsPerInch!) / MM_PER_INCH);
  const widthPx = toPx(max[0] - min[0]);
  const heightPx = toPx(max[1] - min[1]);
  if (Math.max(widthPx, heightPx) > MOST_PX) {
    const fits = Math.floor((options.dotsPerInch * MOST_PX) / Math.max(widthPx, heightPx));
    throw new Error(
      `The cloth at ${options.dotsPerInch} dpi is ${widthPx} × ${heightPx} px, more than ${MOST_PX} a side: ask for ${fits} dpi or less, or name a size to draw its middle.`,
    );
  }
  return { widthPx, heightPx };
}

function stillPose(result: ForecastResult, options: StillOptions, which: 'face' | 'back'): Pose {
  const flat: Pose = { targetXMm: 0, targetYMm: 0, yawRad: 0, pitchRad: 0, mmPerPx: 1 };
  const side = which === 'back' ? turnedOver(flat) : flat;
  const size = { widthPx: options.width, heightPx: options.height };
  const pose = fitted(presetPose(side, options.view), extentOf(result.packed), size);
  const asked = options.dotsPerInch === undefined ? options.mmPerPx : MM_PER_INCH / options.dotsPerInch;
  return { ...pose, mmPerPx: asked ?? pose.mmPerPx / (options.zoom ?? 1) };
}

function base64(bytes: Uint8Array): string {
  let text = '';
  // In slices: a call takes only so many arguments.
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}
