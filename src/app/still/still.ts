import { WebGLRenderer } from 'three';
import { clothPose, extentOf } from '#app/model/clothPose.ts';
import { fitted, type Pose, presetPose, turnedOver } from '#app/model/pose.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { readSampleText } from '#io/sampleFile.ts';
import { ClothView } from '#render/clothView.ts';
import { LIGHTS, type LightName } from '#render/lights.ts';
import { ForecastClient } from '#workers/forecastClient.ts';
import type { ForecastJob, ForecastResult } from '#workers/protocol.ts';

/** What is asked of a still picture; the command line checks the ranges. */
export interface StillOptions {
  readonly side: 'face' | 'back';
  readonly view: 'square' | 'turned' | 'raking';
  readonly width: number;
  readonly height: number;
  /** Samples a pixel. */
  readonly samples: number;
  /** 1 shows all of the cloth, 4 a quarter of its width. */
  readonly zoom?: number;
  /** The scale itself, in place of zoom. */
  readonly mmPerPx?: number;
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
      view.setView(clothPose(stillPose(result, options), 1));
      const { width, height } = options;
      const { pixels } = await view.capture(width, height, options.samples);
      stills.push({ pngBase64: await pngBase64(pixels, width, height), readings: result.readings });
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

function stillPose(result: ForecastResult, options: StillOptions): Pose {
  const flat: Pose = { targetXMm: 0, targetYMm: 0, yawRad: 0, pitchRad: 0, mmPerPx: 1 };
  const side = options.side === 'back' ? turnedOver(flat) : flat;
  const size = { widthPx: options.width, heightPx: options.height };
  const pose = fitted(presetPose(side, options.view), extentOf(result.packed), size);
  return { ...pose, mmPerPx: options.mmPerPx ?? pose.mmPerPx / (options.zoom ?? 1) };
}

async function pngBase64(pixels: Uint8ClampedArray, width: number, height: number): Promise<string> {
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d');
  if (!context) throw new Error('This browser gives no 2-D canvas to write the picture with.');
  context.putImageData(new ImageData(Uint8ClampedArray.from(pixels), width, height), 0, 0);
  const bytes = new Uint8Array(await (await canvas.convertToBlob({ type: 'image/png' })).arrayBuffer());
  let text = '';
  // In slices: a call takes only so many arguments.
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}
