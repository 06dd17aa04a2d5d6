import type { ShedPick } from '#document/commands/sheds.ts';
import { formatEndOrder } from '#document/notation/endOrder.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { readWarp, toClothProblem } from '#document/toClothProblem.ts';
import { liftsOf } from '#document/warpedLoom.ts';
import { type Forecast, forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { labFromLinear, lightness, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import { interlacementsPerEnd, interlacementsPerPick } from '#engine/weave/interlacement.ts';
import type { Standing } from '#engine/weave/structures/onThisLoom.ts';

/** Length of a band of the strip. */
export const BAND_MM = 20;
/** Of a band, so many threads are forecast: its repeat many times over, and small enough to be quick. */
const FORECAST_ENDS = 32;
const FORECAST_PICKS = 24;

/** One weft in one structure. */
export interface Band {
  readonly weft: string;
  readonly weave: string;
  readonly repeat: readonly Required<ShedPick>[];
}

/** What bands are told apart by. */
export interface BandFigures {
  readonly picksPerCm: number;
  /** Difference of CIE L* between warp and weft. */
  readonly lightnessGap: number;
  /** Chroma of the face from afar over that of its threads, 0..1: 1 where nothing greys. */
  readonly hueKept: number;
  /** Order of lustre, 0..1: shares of the face, by how bright their yarn is and how much of it floats (rule of thumb). */
  readonly lustre: number;
  readonly thicknessMm: number;
  /** Colour of the face from afar, linear light. */
  readonly mixed: readonly [number, number, number];
}

/** Every weft in every structure, weft by weft. */
export function bandsOf(
  wefts: readonly string[],
  weaves: readonly { readonly name: string; readonly standing: Standing }[],
): Band[] {
  return wefts.flatMap((weft) =>
    weaves.map(({ name, standing }) => ({
      weft,
      weave: name,
      repeat: liftsOf(standing).map((lift) => ({ lift, strands: [weft] })),
    })),
  );
}

/** So many picks make a band, at least two. */
export function picksOfBand(picksPerCm: number): number {
  return Math.max(2, Math.round((picksPerCm * BAND_MM) / 10));
}

export function picksInBand({ repeat }: Band, count: number): Required<ShedPick>[] {
  return Array.from({ length: count }, (_, k) => repeat[k % repeat.length]);
}

/** A small piece of a band: the first ends of the warp, evenly beaten. */
function pieceOf(body: SampleBody, band: Band): SampleBody {
  const { threading, order } = readWarp(body.warp);
  const ends = Math.min(FORECAST_ENDS, threading.length);
  const { secondBeam: _beam, ...warp } = body.warp;
  return {
    ...body,
    warp: {
      ...warp,
      ends,
      threading: Array.from(threading.subarray(0, ends)),
      order: formatEndOrder({ palette: order.palette, index: order.index.subarray(0, ends) }),
    },
    beat: { ...body.beat, scatterPercent: 0 },
    picks: picksInBand(band, FORECAST_PICKS).map(({ lift, strands }, k) => ({
      lift: [...lift],
      passes: [{ strands: [...strands], enters: k % 2 === 0 ? 'left' : 'right', ends: 'selvedge' }],
    })),
  };
}

/** How bright a yarn's shine passes for, by the word on its card; an order, not a measure. */
const BRIGHTNESS = { matte: 0, satin: 0.5, clear: 0.7, bright: 1, film: 1, hologram: 1, metal: 1 } as const;
const brightnessOf = ({ lustre }: YarnCard) => BRIGHTNESS[lustre ?? 'matte'];

/** Forecasts a small piece of the band; pauses now and then. @throws ClothError where the cloth cannot be. */
export function* bandFigures(body: SampleBody, band: Band): Generator<unknown, BandFigures> {
  const piece = pieceOf(body, band);
  const { problem } = toClothProblem(piece);
  const { readings }: Forecast = yield* forecastCloth(problem, 'preview');
  const { order } = readWarp(piece.warp);
  const warpCards = Array.from(order.index, (at) => body.yarns[order.palette[at][0]]);
  const weft = body.yarns[band.weft];
  const warpLight = meanLinear(warpCards.map(({ coneColour }) => linearFromHex(coneColour)));
  const weftLight = linearFromHex(weft.coneColour);
  const { face } = readings;
  const cover = [face.warp, face.weft];
  const mixed = meanLinear([warpLight, weftLight], cover);
  const chroma = (light: readonly [number, number, number]) => {
    const [, a, b] = labFromLinear(light);
    return Math.hypot(a, b);
  };
  const threads = (cover[0] * chroma(warpLight) + cover[1] * chroma(weftLight)) / (cover[0] + cover[1]);
  const floating = (changes: Uint32Array, length: number) =>
    1 - Math.min(1, changes.reduce((sum, count) => sum + count, 0) / changes.length / length);
  const warpShine = warpCards.reduce((sum, card) => sum + brightnessOf(card), 0) / warpCards.length;
  const lustre =
    cover[0] * warpShine * floating(interlacementsPerEnd(problem.drawdown), problem.rows) +
    cover[1] * brightnessOf(weft) * floating(interlacementsPerPick(problem.drawdown), problem.ends);
  return {
    picksPerCm: readings.picksPerCm.value,
    lightnessGap: Math.abs(lightness(warpLight) - lightness(weftLight)),
    hueKept: threads > 1 ? Math.min(1, chroma(mixed) / threads) : 1,
    lustre,
    thicknessMm: readings.thicknessMm.value,
    mixed: [mixed[0], mixed[1], mixed[2]],
  };
}
