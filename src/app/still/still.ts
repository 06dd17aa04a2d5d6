import { extentOf } from '#app/model/clothPose.ts';
import { type ClothExtent, fitted, type Pose, type PresetView, presetPose, turnedOver } from '#app/model/pose.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { hexFromLinear } from '#engine/colour/colour.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import { readSampleText } from '#io/sampleFile.ts';
import { LIGHTS, type LightName, type RakingSide, rakingLight } from '#render/lights.ts';
import { ForecastClient } from '#workers/forecastClient.ts';
import type { ForecastJob, ForecastResult } from '#workers/protocol.ts';
import { type BentStill, bentPose } from './bentStill.ts';
import { curledStill } from './curledStill.ts';
import { drawnCurlWords } from './curlWords.ts';
import { drapedStill } from './drapedStill.ts';
import { withOffscreenView } from './offscreenView.ts';
import { drawSheet } from './sheet.ts';
import { MM_PER_INCH, planSheet, type SheetPlan, sheetRefusal } from './sheetPlan.ts';
import { stillBackground } from './stillBackground.ts';

/** What is asked of a still picture; the command line checks the ranges. */
export interface StillOptions {
  readonly side: 'face' | 'back' | 'both';
  /** Square on by default, a bent cloth from where it is seen best. */
  readonly view?: PresetView;
  readonly width: number;
  readonly height: number;
  /** Samples a pixel. */
  readonly samples: number;
  /** Traced path by path, many bounces, instead of drawn as on the table. */
  readonly reference?: boolean;
  /** 1 shows all of the cloth, 4 a quarter of its width. */
  readonly zoom?: number;
  /** Middle of the picture, shares of the cloth across and up from its lower left; its own middle by default. */
  readonly at?: readonly [number, number];
  /** The scale itself, in place of zoom. */
  readonly mmPerPx?: number;
  /** True size at so many pixels an inch, written into the file; in place of zoom. Width and height 0: the whole cloth. */
  readonly dotsPerInch?: number;
  /** A ruler below, in mm of cloth. */
  readonly ruler?: boolean;
  /** On the loom, off it or finished; of several views of one sample the first one's. On the loom by default. */
  readonly state?: ClothState;
  /** A light of #render/lights.ts; the window by default. */
  readonly light?: LightName;
  /** Where the raking lamp stands; at the left by default. */
  readonly rakingFrom?: RakingSide;
  /** Draped, face out, over an edge of this radius, mm; of a reference only. */
  readonly drapeMm?: number;
  /** As it curls, let go on a table, the side that it rolls to up; of a reference only. */
  readonly curl?: boolean;
}

export interface Still {
  readonly pngBase64: string;
  readonly readings: Readings;
  /** Radius that a draped cloth bends to: more than asked where it is too stiff or too thick. */
  readonly drapedOverMm?: number;
  /** How a cloth was drawn that was to be drawn as it curls, in words. */
  readonly curled?: string;
}

declare global {
  interface Window {
    foreclothStills?: (sampleText: string, views: readonly StillOptions[]) => Promise<Still[]>;
  }
}

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
  const cloth = sampleCloth(sample.value, views[0]?.state);
  if (!cloth.ok) throw new Error(cloth.trouble.why);
  const { problem, materials, cuttings, bends, leaves, wanted } = cloth.value;
  // A reference is traced thread by thread, however fine they are.
  const far = views.some(({ reference }) => !reference);
  const settled = await settledForecast({
    region: 'whole',
    quality: 'settled',
    far,
    problem,
    state: wanted,
    materials,
    cuttings,
    bends,
    leaves,
  });
  const { result } = settled;

  return withOffscreenView({ background: stillBackground }, async (view) => {
    view.setCloth(result.packed);
    if (settled.far) view.setFar(result.packed, settled.far);
    const stills: Still[] = [];
    for (const options of views) {
      const { light = 'window', rakingFrom = 'left' } = options;
      view.setLight(light === 'raking' ? rakingLight(rakingFrom).light : LIGHTS[light].light);
      const draped = options.drapeMm === undefined ? undefined : drapedStill(problem, result, options.drapeMm);
      const curled = options.curl ? curledStill(result) : undefined;
      const bent = draped ?? curled;
      const plan = stillPlan(extentOf(result.packed), options, bent);
      const refusal = sheetRefusal(plan);
      if (refusal) throw new Error(refusal);
      const png = await drawSheet(view, plan, {
        samples: options.samples,
        reference: options.reference,
        drape: bent?.drape,
        trueScale: options.dotsPerInch !== undefined,
        ground: hexFromLinear(stillBackground),
      });
      const { endLengthFactor: _lengths, ...readings } = result.readings;
      stills.push({
        pngBase64: base64(png),
        readings,
        drapedOverMm: draped?.radiusMm,
        curled: curled && drawnCurlWords(curled, 'cm'),
      });
    }
    return stills;
  });
}

interface SettledForecast {
  readonly result: ForecastResult;
  readonly far?: FarCloth;
}

/** The cloth, and from afar where that is asked for and can be: without, the table walks it as well. */
function settledForecast(job: Omit<ForecastJob, 'jobId' | 'revision'>): Promise<SettledForecast> {
  const client = new ForecastClient();
  return new Promise<SettledForecast>((resolve, reject) => {
    let result: ForecastResult;
    client.request(job, {
      onDone: (done) => {
        result = done;
        if (!job.far) resolve({ result });
      },
      onFar: (far) => resolve({ result, far }),
      onFarFailed: () => resolve({ result }),
      onFailed: (where, why) => reject(new Error(`No forecast (${where}): ${why}`)),
    });
  }).finally(() => client.dispose());
}

function stillPlan(extent: ClothExtent, options: StillOptions, bent?: BentStill): SheetPlan {
  const flat: Pose = { targetXMm: 0, targetYMm: 0, yawRad: 0, pitchRad: 0, mmPerPx: 1 };
  const turned = presetPose(flat, options.view ?? bent?.view ?? 'square');
  const sides = bent ? [bent.side] : options.side === 'both' ? (['face', 'back'] as const) : [options.side];
  const ruler = options.ruler ?? false;
  const { dotsPerInch } = options;
  const asked = dotsPerInch === undefined ? options.mmPerPx : MM_PER_INCH / dotsPerInch;
  if (dotsPerInch !== undefined && options.width === 0) {
    return planSheet({ extent, sides, pose: { ...turned, mmPerPx: MM_PER_INCH / dotsPerInch }, size: 'whole', ruler });
  }
  const size = { widthPx: options.width, heightPx: options.height };
  const up = bent?.side === 'back' ? turnedOver(turned) : turned;
  const pose = bent ? bentPose(up, bent.drape, extent, size) : fitted(turned, extent, size);
  return planSheet({
    extent,
    sides,
    pose: { ...pose, ...target(extent, options.at), mmPerPx: asked ?? pose.mmPerPx / (options.zoom ?? 1) },
    size,
    ruler,
  });
}

function target({ minXMm, maxXMm, minYMm, maxYMm }: ClothExtent, at: StillOptions['at']) {
  if (!at) return {};
  return { targetXMm: minXMm + at[0] * (maxXMm - minXMm), targetYMm: minYMm + at[1] * (maxYMm - minYMm) };
}

function base64(bytes: Uint8Array): string {
  let text = '';
  // In slices: a call takes only so many arguments.
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}
