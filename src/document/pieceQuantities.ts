import { type ClothProblem, RowEnd, RowTails } from '#engine/cloth/clothTypes.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { type FibreShare, fibreContent } from '#engine/cloth/quantities/fibreContent.ts';
import { afterLosses } from '#engine/cloth/quantities/losses.ts';
import { type LaidReadings, readingsOnLoom } from '#engine/cloth/quantities/onLoom.ts';
import { type WarpPlan, warpPlan } from '#engine/cloth/quantities/warpPlan.ts';
import {
  ENDS_DRESSED_PER_MIN,
  USUAL_PICKS_PER_MIN,
  type WeavingTime,
  weavingTime,
} from '#engine/cloth/quantities/weavingTime.ts';
import { type ScrapReach, scrapReach, weftLaidMm } from '#engine/cloth/quantities/weftLaid.ts';
import { endSpan } from '#engine/cloth/rowLength.ts';
import type { ClothSizes } from '#engine/cloth/states/clothSizes.ts';
import { metresLeft } from '#engine/yarn/leftYarn.ts';
import type { Ranged } from '#engine/yarn/ownYarnTypes.ts';
import { dentsOfWarp } from './notation/denting.ts';
import type { SampleBody } from './schema/sampleSchema.ts';
import type { YarnCard } from './schema/yarnSchema.ts';
import { TAKE_UP_DOUBT } from './yarnNeeded.ts';

/** Loom waste where the loom's card says none: 27 in (common practice). */
export const USUAL_WASTE_MM = 686;
/** Lost off the loom and in finishing where neither plan nor swatch says: 10 to 15 % together (common practice). */
export const USUAL_LOSS = { offLoom: 0.05, finished: 0.07 } as const;

export interface YarnQuantity {
  readonly card: YarnCard;
  readonly warpM: number;
  readonly weftM: number;
  /** All of it, with the doubt of take-up. */
  readonly metres: Ranged;
  readonly grams: Ranged;
  readonly leftM: Ranged | undefined;
  /** How high what is left weaves as weft, once its warp is wound; undefined where nothing is known of it. */
  readonly reach: ScrapReach | undefined;
}

/** Where losses are taken from: said in the plan, her own swatch, the forecast of its states, or what is usual. */
export type LossSource = 'plan' | 'swatch' | 'forecast' | 'usual';

export interface PieceQuantities {
  readonly pieces: number;
  readonly yarns: readonly YarnQuantity[];
  readonly ends: number;
  readonly dents: number;
  readonly reedWidthMm: number;
  readonly warp: WarpPlan;
  readonly time: WeavingTime;
  /** Winding, threading, sleying and tying on; 0 where the warp is on the loom. */
  readonly dressingMin: number;
  readonly picksPerMinute: number;
  readonly fibres: readonly FibreShare[];
  readonly losses: { readonly offLoom: number; readonly finished: number; readonly from: LossSource };
  readonly finished: { readonly lengthMm: number; readonly widthMm: number };
}

interface Woven {
  readonly problem: ClothProblem;
}

/** What pieces of this sample take of warp, weft and time, as forecast; losses are divided by what is left, not added. */
export function pieceQuantities(body: SampleBody, { problem }: Woven, readings: Readings): PieceQuantities {
  const { plan = {}, warp, loom } = body;
  const pieces = plan.pieces ?? 1;
  const onLoom = readingsOnLoom(readings);
  const lengthMm = onLoom.lengthMm.value;
  const hemMm = plan.hemMm ?? 0;
  const headingMm = plan.headingMm ?? 0;
  const length = warpPlan({
    pieces,
    wovenMm: lengthMm,
    hemMm,
    fringeMm: plan.fringeMm ?? 0,
    headingMm,
    wasteMm: loom.warpWasteMm ?? USUAL_WASTE_MM,
    takeUp: onLoom.warpTakeUp,
  });
  const dented = dentsOfWarp(warp);
  const { spanMm, pitchMm } = endSpan(problem);
  const narrowing = spanMm > 0 ? onLoom.widthMm / (spanMm + pitchMm) : 1;
  const laid = weftLaidMm(problem, onLoom.weftTakeUp, 10 / onLoom.picksPerCm, narrowing);
  // Hems and heading are woven as the piece is.
  const times = (pieces * (lengthMm + 2 * hemMm) + headingMm) / lengthMm;
  const ways = yarnWays(body, problem, laid, length.totalMm, times);
  const losses = lossesOf(body, readings.sizes);
  const picksPerMinute = plan.picksPerMinute ?? loom.picksPerMinute ?? USUAL_PICKS_PER_MIN;
  const yarns = ways.map((way) => quantityOf(way, problem, laid, onLoom));
  return {
    pieces,
    yarns,
    ends: problem.ends,
    dents: dented.endsPerDent.length,
    reedWidthMm: dented.widthMm,
    warp: length,
    time: weavingTime(workOf(problem, times, lengthMm), picksPerMinute),
    dressingMin: warp.fixed ? 0 : problem.ends / ENDS_DRESSED_PER_MIN,
    picksPerMinute,
    fibres: fibreContent(
      yarns.map(({ card, warpM, weftM, grams }) => ({
        fibre: card.fibre,
        // The cloth alone: loom waste is in none of it.
        grams:
          (grams.value * ((warpM * length.clothMm) / (length.totalMm * (1 - onLoom.warpTakeUp)) + weftM)) /
          (warpM + weftM),
      })),
    ),
    losses,
    finished: {
      lengthMm: afterLosses(lengthMm, losses.offLoom, losses.finished),
      widthMm:
        losses.from === 'forecast' && readings.sizes
          ? readings.sizes.finishedWidthMm.value
          : afterLosses(onLoom.widthMm, losses.offLoom, losses.finished),
    },
  };
}

interface YarnWay {
  readonly card: YarnCard;
  readonly warpMm: number;
  readonly weftMm: number;
  /** Rows of one piece that use it, mm each. */
  readonly uses: Float64Array;
}

function yarnWays(
  { yarns }: SampleBody,
  problem: ClothProblem,
  laid: Float64Array,
  warpMm: number,
  times: number,
): YarnWay[] {
  const strandsOf = problem.yarns.map(({ strands }) => strands);
  return Object.values(yarns).flatMap((card) => {
    const count = strandsOf.map((strands) => strands.filter((id) => id === card.id).length);
    if (!count.some((strands) => strands > 0)) return [];
    // What a second beam lets off longer is wound longer.
    let ends = 0;
    problem.endYarn.forEach((yarn, end) => {
      ends += count[yarn] * (1 + (problem.endSlackShare?.[end] ?? 0));
    });
    const uses = laid.map((mm, row) => mm * count[problem.rowYarn[row]]);
    const weftMm = times * uses.reduce((sum, mm) => sum + mm, 0);
    return [{ card, warpMm: ends * warpMm, weftMm, uses }];
  });
}

function quantityOf(
  { card, warpMm, weftMm, uses }: YarnWay,
  problem: ClothProblem,
  laid: Float64Array,
  { warpTakeUp, weftTakeUp, lengthMm }: LaidReadings,
): YarnQuantity {
  const at = (share: number) =>
    (warpMm * (1 - warpTakeUp)) / (1 - Math.min(0.95, warpTakeUp * share)) +
    (weftMm * (1 - weftTakeUp)) / (1 - Math.min(0.95, weftTakeUp * share));
  const metres = { value: at(1) / 1000, low: at(1 - TAKE_UP_DOUBT) / 1000, high: at(1 + TAKE_UP_DOUBT) / 1000 };
  const grams = (m: number) => (m * card.tex) / 1000;
  const leftM = metresLeft(card);
  const rowYMm = Float64Array.from(laid, (_, row) => (lengthMm.value * row) / problem.rows);
  const reach = leftM && scrapReach(Math.max(0, 1000 * leftM.value - warpMm), uses, rowYMm, lengthMm.value);
  return {
    card,
    warpM: warpMm / 1000,
    weftM: weftMm / 1000,
    metres,
    grams: { value: grams(metres.value), low: grams(metres.low), high: grams(metres.high) },
    leftM,
    reach: weftMm > 0 ? reach : undefined,
  };
}

function workOf(
  { rows, ends, rowYarn, rowPick, rowEnd, rowFirst, rowLast, rowTails }: ClothProblem,
  times: number,
  lengthMm: number,
) {
  const across = (row: number) => rowFirst[row] === 0 && rowLast[row] === ends - 1;
  let shuttleChanges = 0;
  let cutPicks = 0;
  let tailsWorked = 0;
  let handPasses = 0;
  let last = -1;
  for (let row = 0; row < rows; row++) {
    const cut = rowEnd[row] === RowEnd.cut;
    if (!across(row)) handPasses++;
    else {
      if (cut) cutPicks++;
      else if (last >= 0 && rowYarn[last] !== rowYarn[row]) shuttleChanges++;
      last = row;
    }
    if (cut && rowTails && rowTails[row] !== RowTails.fringe) tailsWorked++;
  }
  return {
    picks: times * (rowPick[rows - 1] + 1),
    shuttleChanges: times * shuttleChanges,
    cutPicks: times * cutPicks,
    tailsWorked: times * tailsWorked,
    handPasses: times * handPasses,
    wovenMm: times * lengthMm,
  };
}

/**
 * Shares of the length lost off the loom and in finishing: as planned, else as her own swatch lost, else as forecast, else
 * what is usual.
 */
export function lossesOf({ plan, measured }: SampleBody, sizes?: ClothSizes): PieceQuantities['losses'] {
  const lengthAt = (stage: string) => measured?.find((each) => each.stage === stage)?.lengthMm;
  const [on, off, finished] = ['onLoom', 'offLoom', 'finished'].map(lengthAt);
  const unsaid: PieceQuantities['losses'] =
    on && off && finished
      ? { offLoom: 1 - off / on, finished: 1 - finished / off, from: 'swatch' }
      : sizes
        ? {
            offLoom: 1 - sizes.offLoomLengthMm.value / sizes.onLoomLengthMm.value,
            finished: 1 - sizes.finishedLengthMm.value / sizes.offLoomLengthMm.value,
            from: 'forecast',
          }
        : { ...USUAL_LOSS, from: 'usual' };
  const { lossOffLoomPercent, lossFinishedPercent } = plan ?? {};
  if (lossOffLoomPercent === undefined && lossFinishedPercent === undefined) return unsaid;
  return {
    offLoom: lossOffLoomPercent === undefined ? unsaid.offLoom : lossOffLoomPercent / 100,
    finished: lossFinishedPercent === undefined ? unsaid.finished : lossFinishedPercent / 100,
    from: 'plan',
  };
}
