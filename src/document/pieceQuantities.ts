import { type ClothProblem, RowEnd, RowTails } from '#engine/cloth/clothTypes.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { type FibreShare, fibreContent } from '#engine/cloth/quantities/fibreContent.ts';
import { afterLosses } from '#engine/cloth/quantities/losses.ts';
import { type LaidReadings, readingsOnLoom } from '#engine/cloth/quantities/onLoom.ts';
import { type WarpPlan, warpPlan } from '#engine/cloth/quantities/warpPlan.ts';
import {
  ENDS_DRESSED_PER_MIN,
  HANDLING_DOUBT,
  timeAround,
  USUAL_PICKS_PER_MIN,
  type WeavingTime,
  weavingTime,
} from '#engine/cloth/quantities/weavingTime.ts';
import { type ScrapReach, scrapReach, weftLaidMm } from '#engine/cloth/quantities/weftLaid.ts';
import { endSpan } from '#engine/cloth/rowLength.ts';
import type { ClothSizes } from '#engine/cloth/states/clothSizes.ts';
import { yarnOfRows } from '#engine/cloth/yarnOfRows.ts';
import { around, doubtedLike, exactly, type Reading } from '#engine/units/reading.ts';
import { metresLeft } from '#engine/yarn/leftYarn.ts';
import { dentsOfWarp } from './notation/denting.ts';
import type { SampleBody } from './schema/sampleSchema.ts';
import type { YarnCard } from './schema/yarnSchema.ts';

/** Loom waste where the loom's card says none: 27 in (common practice). */
const USUAL_WASTE_MM = 686;
/** Lost off the loom and in finishing where neither plan nor swatch says: 10 to 15 % together (common practice). */
const USUAL_LOSS = { offLoom: 0.05, finished: 0.07 } as const;
const USUAL_LOSS_DOUBT = 0.025;

export interface YarnQuantity {
  readonly card: YarnCard;
  readonly warpM: number;
  readonly weftM: number;
  /** All of it, with the doubt of take-up. */
  readonly metres: Reading;
  readonly grams: Reading;
  readonly leftM: Reading | undefined;
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
  /** Of all the warp, what is not known of the cloth's length and take-up. */
  readonly warpMm: Reading;
  readonly time: WeavingTime;
  readonly timeMin: Reading;
  /** Winding, threading, sleying and tying on; 0 where the warp is on the loom. */
  readonly dressingMin: Reading;
  readonly picksPerMinute: number;
  readonly fibres: readonly FibreShare[];
  readonly losses: { readonly offLoom: number; readonly finished: number; readonly from: LossSource };
  readonly finished: { readonly lengthMm: Reading; readonly widthMm: Reading };
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
  const planOf = (wovenMm: number, takeUp: number) =>
    warpPlan({
      pieces,
      wovenMm,
      hemMm,
      fringeMm: plan.fringeMm ?? 0,
      headingMm,
      wasteMm: loom.warpWasteMm ?? USUAL_WASTE_MM,
      takeUp,
    });
  const { warpTakeUp } = onLoom;
  const length = planOf(lengthMm, warpTakeUp.value);
  const dented = dentsOfWarp(warp);
  const { spanMm, pitchMm } = endSpan(problem);
  const narrowing = spanMm > 0 ? onLoom.widthMm / (spanMm + pitchMm) : 1;
  const laid = weftLaidMm(problem, onLoom.weftTakeUp.value, 10 / onLoom.picksPerCm, narrowing);
  // Hems and heading are woven as the piece is.
  const times = (pieces * (lengthMm + 2 * hemMm) + headingMm) / lengthMm;
  const ways = yarnWays(body, problem, laid, length.totalMm, times);
  const losses = lossesOf(body, readings.sizes);
  const picksPerMinute = plan.picksPerMinute ?? loom.picksPerMinute ?? USUAL_PICKS_PER_MIN;
  const time = weavingTime(workOf(problem, times, lengthMm), picksPerMinute);
  const yarns = ways.map((way) => quantityOf(way, problem, laid, onLoom));
  return {
    pieces,
    yarns,
    ends: problem.ends,
    dents: dented.endsPerDent.length,
    reedWidthMm: dented.widthMm,
    warp: length,
    warpMm: doubted(
      length.totalMm,
      planOf(onLoom.lengthMm.low, warpTakeUp.value).totalMm,
      planOf(onLoom.lengthMm.high, warpTakeUp.value).totalMm,
      planOf(lengthMm, warpTakeUp.low).totalMm,
      planOf(lengthMm, Math.min(MOST_TAKE_UP, warpTakeUp.high)).totalMm,
    ),
    time,
    timeMin: timeAround(time, plan.picksPerMinute ?? loom.picksPerMinute),
    dressingMin: around(warp.fixed ? 0 : problem.ends / ENDS_DRESSED_PER_MIN, HANDLING_DOUBT),
    picksPerMinute,
    fibres: fibreContent(
      yarns.map(({ card, warpM, weftM, grams }) => ({
        fibre: card.fibre,
        // The cloth alone: loom waste is in none of it.
        grams:
          (grams.value * ((warpM * length.clothMm) / (length.totalMm * (1 - warpTakeUp.value)) + weftM)) /
          (warpM + weftM),
      })),
    ),
    losses,
    finished: finishedSize(losses, onLoom, readings.sizes),
  };
}

const MOST_TAKE_UP = 0.95;

/** A value with two causes of doubt, each by its values at the least and the most. */
function doubted(value: number, low1: number, high1: number, low2: number, high2: number): Reading {
  return {
    value,
    low: value - Math.hypot(value - low1, value - low2),
    high: value + Math.hypot(high1 - value, high2 - value),
  };
}

/** As forecast; else as the cloth on the loom is known and, where its losses are the usual ones, as they differ. */
function finishedSize(
  { from, offLoom, finished }: PieceQuantities['losses'],
  onLoom: LaidReadings,
  sizes: ClothSizes | undefined,
): PieceQuantities['finished'] {
  if (from === 'forecast' && sizes) return { lengthMm: sizes.finishedLengthMm, widthMm: sizes.finishedWidthMm };
  const after = (mm: Reading): Reading => {
    const value = afterLosses(mm.value, offLoom, finished);
    const usual = from === 'usual' ? around(value, USUAL_LOSS_DOUBT) : exactly(value);
    const { low, high } = doubtedLike(value, mm);
    return doubted(value, low, high, usual.low, usual.high);
  };
  return { lengthMm: after(onLoom.lengthMm), widthMm: after(sizes?.fellWidthMm ?? exactly(onLoom.widthMm)) };
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
  const at = (which: keyof Reading) =>
    ((warpMm * (1 - warpTakeUp.value)) / (1 - Math.min(MOST_TAKE_UP, warpTakeUp[which])) +
      (weftMm * (1 - weftTakeUp.value)) / (1 - Math.min(MOST_TAKE_UP, weftTakeUp[which]))) /
    1000;
  const metres = { value: at('value'), low: at('low'), high: at('high') };
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

function workOf(problem: ClothProblem, times: number, lengthMm: number) {
  const { rows, ends, rowPick, rowEnd, rowFirst, rowLast, rowTails } = problem;
  const rowYarn = yarnOfRows(problem);
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
