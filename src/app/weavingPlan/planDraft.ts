import { type DraftConventions, drawnSheet, sheetPlaces } from '#app/draft/conventions.ts';
import { cellSizesPx, draftLayout } from '#app/draft/draftLayout.ts';
import type { DraftSheet } from '#app/draft/paintDraft.ts';
import { linesIn } from '#document/comesAgain.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { readLifts } from '#document/toClothProblem.ts';
import { warpedLoomOf } from '#document/warpedLoom.ts';
import type { ListedItem } from '#document/weavingList.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { smallestPeriod } from '#engine/draft/repeats.ts';

/** One piece of the draft for paper, as a reader is used to see it drawn. */
export interface PlanDraft {
  readonly sheet: DraftSheet;
  readonly cellPx: number;
  /** All of it, CSS px. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Lines of the drawdown, from its top, above which another round begins or ends. */
  readonly roundLines: readonly number[];
  /** Counted from 1. */
  readonly ends: readonly [from: number, to: number];
  readonly picks: readonly [from: number, to: number];
}

/** What a sheet of A4 holds within margins of 15 mm, CSS px, with words above and below. */
const PAPER_PX = { width: 670, height: 900 };
/** Squares that are still told apart on paper, px (3 px are 0.8 mm; chosen). */
const LEAST_CELL_PX = 3;
/** Squares as wide as figures are high, so that every pick can be numbered, px. */
const MOST_CELL_PX = 11;
/** No more ends than this beside each other, nor picks above each other, in one piece (chosen). */
const MOST_ENDS = 180;
const MOST_PICKS = 64;
/** More pieces than this nobody looks through, and each holds its dots in memory (chosen). */
export const MOST_PIECES = 40;

/** How many ends are drawn: one repeat of the draw, all where it does not come again. */
export function endsOfDraw(threading: ArrayLike<number>): number {
  const period = smallestPeriod(threading);
  return 2 * period <= threading.length ? period : threading.length;
}

/** In how many pieces the draft beside the list comes. */
export function piecesOfPlan(sample: Sample, items: readonly ListedItem[]): number {
  const lines = linesIn(items).reduce((sum, { picks }) => sum + picks.length, 0);
  return Math.ceil(endsOfDraw(warpedLoomOf(sample).threading) / MOST_ENDS) * Math.ceil(lines / MOST_PICKS);
}

/**
 * The draft beside the list: the picks of its lines, each once, over one repeat of the draw; in pieces where it is
 * larger than paper. Everything stands as it is woven, whether it may still be changed or not. Nothing where it would come in more than `MOST_PIECES`.
 */
export function planDrafts(
  sample: Sample,
  items: readonly ListedItem[],
  conventions: DraftConventions,
): readonly PlanDraft[] {
  if (piecesOfPlan(sample, items) > MOST_PIECES) return [];
  const { threading } = warpedLoomOf(sample);
  const lines = linesIn(items);
  const listed = lines.flatMap(({ fromPick, picks }) => picks.map((_, k) => fromPick - 1 + k));
  const begins = new Set(lines.map(({ fromPick }) => fromPick - 1));
  const ends = endsOfDraw(threading);
  const drafts: PlanDraft[] = [];
  for (const [fromEnd, toEnd] of pieces(ends, MOST_ENDS)) {
    for (const [from, to] of pieces(listed.length, MOST_PICKS)) {
      const picks = listed.slice(from, to);
      const sheet = pieceOf(sample, threading.slice(fromEnd, toEnd), picks);
      drafts.push(drawn(sheet, conventions, fromEnd, (row) => row > 0 && begins.has(picks[row])));
    }
  }
  return drafts;
}

/** Nearly equal pieces, none longer than `most`: first included, last not. */
function pieces(count: number, most: number): (readonly [from: number, to: number])[] {
  const many = Math.ceil(count / most);
  return Array.from({ length: many }, (_, k) => [Math.round((k * count) / many), Math.round(((k + 1) * count) / many)]);
}

function pieceOf(sample: Sample, threading: Uint8Array, picks: readonly number[]): DraftSheet {
  const { loom, warp } = sample;
  const woven = picks.map((pick) => sample.picks[pick]);
  const blank = (count: number) => Array<string>(count).fill('#ffffff');
  return {
    shafts: loom.shafts,
    threading,
    tieUp: loom.control.kind === 'treadles' ? (warp.tieUp ?? []) : undefined,
    lifts: woven.map(({ lift }) => lift),
    drawdown: computeDrawdown(threading, readLifts({ loom, warp, picks: woven }).liftPlan),
    endColours: blank(threading.length),
    rowColours: blank(picks.length),
    rowPick: picks,
  };
}

function drawn(
  sheet: DraftSheet,
  conventions: DraftConventions,
  fromEnd: number,
  beginsRound: (row: number) => boolean,
): PlanDraft {
  const { rows, ends } = sheet.drawdown;
  const fits = (cellPx: number) => {
    const { planLeft, top } = draftLayout(sheet, Number.MAX_SAFE_INTEGER, Number.MAX_SAFE_INTEGER, cellPx);
    const columns = sheet.tieUp?.length ?? sheet.shafts;
    return { widthPx: planLeft + columns * cellPx + 2, heightPx: top + rows * cellPx + 2 };
  };
  const cellPx =
    cellSizesPx.findLast((size) => {
      const { widthPx, heightPx } = fits(size);
      return size <= MOST_CELL_PX && widthPx <= PAPER_PX.width && heightPx <= PAPER_PX.height;
    }) ?? LEAST_CELL_PX;
  const places = sheetPlaces(sheet, conventions);
  const every = Math.ceil(MOST_CELL_PX / cellPx);
  const upward = conventions.firstPick === 'above';
  return {
    sheet: {
      ...drawnSheet(sheet, conventions),
      endNumber: (column) => fromEnd + places.end(column) + 1,
      isNumbered: (line) => places.row(line) % every === 0,
    },
    cellPx,
    ...fits(cellPx),
    roundLines: Array.from({ length: rows }, (_, row) => row)
      .filter(beginsRound)
      .map((row) => (upward ? row : rows - row)),
    ends: [fromEnd + 1, fromEnd + ends],
    picks: [Number(sheet.rowPick[0]) + 1, Number(sheet.rowPick[rows - 1]) + 1],
  };
}
