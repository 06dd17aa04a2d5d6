import type { Drawdown } from '#engine/draft/drawdown.ts';
import { complement, reverseEnds, reversePicks } from '#engine/draft/transformDrawdown.ts';
import type { DraftSheet } from './paintDraft.ts';

/** How a reader is used to draw drafts. The sample itself is the same whichever way it is drawn. */
export interface DraftConventions {
  readonly shaftOne: 'below' | 'above';
  readonly endOne: 'left' | 'right';
  readonly firstPick: 'below' | 'above';
  /** What a filled square of tie-up or lifts means: the shaft goes up, or down. */
  readonly filled: 'rises' | 'sinks';
  /** Which side of the cloth the drawdown shows; the back is turned over, so left and right change places. */
  readonly side: 'face' | 'back';
}

export const usualConventions: DraftConventions = {
  shaftOne: 'below',
  endOne: 'left',
  firstPick: 'below',
  filled: 'rises',
  side: 'face',
};

/** From threads of the sample to places on the drawn sheet; each is its own inverse. */
export interface SheetPlaces {
  end(end: number): number;
  row(row: number): number;
  /** Shaft numbers count from 1. */
  shaft(shaft: number): number;
}

function endsReversed(conventions: DraftConventions): boolean {
  return (conventions.endOne === 'right') !== (conventions.side === 'back');
}

export function sheetPlaces(sheet: DraftSheet, conventions: DraftConventions): SheetPlaces {
  const { ends, rows } = sheet.drawdown;
  return {
    end: endsReversed(conventions) ? (end) => ends - 1 - end : (end) => end,
    row: conventions.firstPick === 'above' ? (row) => rows - 1 - row : (row) => row,
    shaft: conventions.shaftOne === 'above' ? (shaft) => sheet.shafts + 1 - shaft : (shaft) => shaft,
  };
}

/** A drawdown as drawn; of a drawn one, the sample's own: twice is nothing. */
export function drawnDrawdown(drawdown: Drawdown, conventions: DraftConventions): Drawdown {
  let drawn = drawdown;
  if (conventions.side === 'back') drawn = complement(drawn);
  if (endsReversed(conventions)) drawn = reverseEnds(drawn);
  if (conventions.firstPick === 'above') drawn = reversePicks(drawn);
  return drawn;
}

/** The sheet as drawn by the reader's conventions. */
export function drawnSheet(sheet: DraftSheet, conventions: DraftConventions): DraftSheet {
  const places = sheetPlaces(sheet, conventions);
  const across = endsReversed(conventions);
  const upward = conventions.firstPick === 'above';
  const turned = <Value>(list: ArrayLike<Value>, turn: boolean) =>
    turn ? Array.from(list).reverse() : Array.from(list);
  const sunk = (lists: readonly (readonly number[])[]) =>
    lists.map((list) => allShafts(sheet.shafts).filter((shaft) => !list.includes(shaft)));
  const sinks = conventions.filled === 'sinks';
  const ties = sheet.tieUp && sinks ? sunk(sheet.tieUp) : sheet.tieUp;
  return {
    ...sheet,
    threading: turned(sheet.threading, across).map((shaft) => (shaft === 0 ? 0 : places.shaft(shaft))),
    tieUp: ties?.map((list) => list.map(places.shaft)),
    lifts: turned(!sheet.tieUp && sinks ? sunk(sheet.lifts) : sheet.lifts, upward),
    drawdown: drawnDrawdown(sheet.drawdown, conventions),
    endColours: turned(sheet.endColours, across),
    rowColours: turned(sheet.rowColours, upward),
    rowPick: turned(sheet.rowPick, upward),
    endNumber: (column) => places.end(column) + 1,
  };
}

function allShafts(count: number): number[] {
  return Array.from({ length: count }, (_, i) => i + 1);
}

/** The conventions as a handbook would state them. */
export function conventionWords(conventions: DraftConventions, treadled: boolean): string {
  const { shaftOne, endOne, firstPick, filled, side } = conventions;
  const plan = treadled ? 'tie-up' : 'lifts';
  const seen =
    side === 'face' ? 'the face up: filled is warp' : 'the back up, turned over: filled is warp seen from there';
  return (
    `Shaft 1 ${shaftOne === 'below' ? 'lowest' : 'topmost'}; threading read from the ${endOne}; first pick ` +
    `${firstPick === 'below' ? 'lowest' : 'topmost'}; filled in the ${plan}: the shaft ${filled}; ${seen}.`
  );
}
