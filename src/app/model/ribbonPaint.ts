import { numberEvery, type RibbonAxis } from './ribbonScale.ts';
import type { ThreadGroup } from './threadGroups.ts';

/** Colours of the page's own lines, read from the style sheet so that both schemes are followed. */
export interface InkColours {
  readonly ink: string;
  readonly hairline: string;
  readonly accent: string;
  readonly paper: string;
}

export interface RibbonPicture {
  readonly axis: RibbonAxis;
  readonly lengthPx: number;
  readonly thicknessPx: number;
  /** Width of the margin for numbers, at the ribbon's outer edge. */
  readonly marginPx: number;
  /** count + 1 places along the ribbon, px. */
  readonly boundaries: Float32Array;
  readonly count: number;
  readonly yarnOf: ArrayLike<number>;
  /** CSS colours of each yarn's strands. */
  readonly coloursOf: readonly (readonly string[])[];
  /** How much of its pitch each yarn's width takes at most, by yarn, mm. */
  readonly widthMmOf: ArrayLike<number>;
  readonly meanPitchMm: number;
  readonly groups: readonly ThreadGroup[];
  readonly selected: { readonly from: number; readonly to: number } | undefined;
  readonly cursor: number | undefined;
  readonly dropAt: { readonly from: number; readonly to: number } | undefined;
  readonly ink: InkColours;
  readonly formatNumber: (value: number) => string;
}

/** Below this a thread is not told from its neighbour, and stripes are drawn instead. */
export const leastThreadPx = 3;

/** Draws the ribbon; the context is already scaled to CSS px. */
export function paintRibbon(context: CanvasRenderingContext2D, picture: RibbonPicture): void {
  const { axis, lengthPx, thicknessPx, marginPx, boundaries, count } = picture;
  const along = axis === 'picks';
  context.clearRect(0, 0, along ? thicknessPx : lengthPx, along ? lengthPx : thicknessPx);
  if (count === 0) return;
  const meanPitchPx = Math.abs(boundaries[count] - boundaries[0]) / count;
  const bandFrom = marginPx;
  const bandTo = thicknessPx - 7;
  if (meanPitchPx >= leastThreadPx) paintThreads(context, picture, bandFrom, bandTo);
  else paintGroups(context, picture, bandFrom, bandTo);
  paintNumbers(context, picture, meanPitchPx);
  if (picture.selected) paintBracket(context, picture, picture.selected, picture.ink.accent, 3);
  if (picture.dropAt) paintBracket(context, picture, picture.dropAt, picture.ink.ink, 5);
  if (picture.cursor !== undefined) paintCursor(context, picture, picture.cursor);
}

function fillBand(
  context: CanvasRenderingContext2D,
  axis: RibbonAxis,
  fromPx: number,
  toPx: number,
  bandFrom: number,
  bandTo: number,
): void {
  const low = Math.min(fromPx, toPx);
  const extent = Math.abs(toPx - fromPx);
  if (axis === 'picks') context.fillRect(bandFrom, low, bandTo - bandFrom, extent);
  else context.fillRect(low, bandFrom, extent, bandTo - bandFrom);
}

function paintThreads(context: CanvasRenderingContext2D, picture: RibbonPicture, bandFrom: number, bandTo: number) {
  const { axis, boundaries, count, lengthPx, yarnOf, coloursOf, widthMmOf, meanPitchMm } = picture;
  for (let i = 0; i < count; i++) {
    const low = Math.min(boundaries[i], boundaries[i + 1]);
    const high = Math.max(boundaries[i], boundaries[i + 1]);
    if (high < 0 || low > lengthPx) continue;
    const yarn = yarnOf[i];
    const pitch = high - low;
    const width = Math.max(1, Math.min(pitch - (pitch > 6 ? 1 : 0.5), (widthMmOf[yarn] / meanPitchMm) * pitch));
    const start = (low + high - width) / 2;
    const strands = coloursOf[yarn];
    strands.forEach((colour, k) => {
      context.fillStyle = colour;
      const from = start + (width * k) / strands.length;
      fillBand(context, axis, from, from + width / strands.length, bandFrom, bandTo);
    });
  }
}

function paintGroups(context: CanvasRenderingContext2D, picture: RibbonPicture, bandFrom: number, bandTo: number) {
  const { axis, boundaries, coloursOf, groups, lengthPx } = picture;
  for (const group of groups) {
    const from = boundaries[group.from];
    const to = boundaries[group.to + 1];
    if (Math.max(from, to) < 0 || Math.min(from, to) > lengthPx) continue;
    const colours = group.order.flatMap((yarn) => coloursOf[yarn]);
    const lane = (bandTo - bandFrom) / colours.length;
    colours.forEach((colour, k) => {
      context.fillStyle = colour;
      fillBand(context, axis, from, to, bandFrom + lane * k, bandFrom + lane * (k + 1));
    });
  }
}

function paintNumbers(context: CanvasRenderingContext2D, picture: RibbonPicture, meanPitchPx: number) {
  const { axis, boundaries, count, lengthPx, marginPx, ink } = picture;
  const every = numberEvery(meanPitchPx, axis === 'picks' ? 30 : 46);
  context.font = '11px system-ui, sans-serif';
  context.fillStyle = ink.ink;
  context.textBaseline = 'middle';
  for (let number = every; number <= count; number += every) {
    const at = (boundaries[number - 1] + boundaries[number]) / 2;
    if (at < 6 || at > lengthPx - 6) continue;
    const text = picture.formatNumber(number);
    if (axis === 'picks') {
      context.textAlign = 'right';
      context.fillText(text, marginPx - 8, at);
      context.fillRect(marginPx - 5, at - 0.5, 4, 1);
    } else {
      context.textAlign = 'center';
      context.fillText(text, at, marginPx - 11);
      context.fillRect(at - 0.5, marginPx - 5, 1, 4);
    }
  }
}

/** A bracket on the cloth's side of the ribbon: selection is told by shape as well as by colour. */
function paintBracket(
  context: CanvasRenderingContext2D,
  picture: RibbonPicture,
  range: { readonly from: number; readonly to: number },
  colour: string,
  widthPx: number,
): void {
  const { axis, boundaries, thicknessPx, marginPx } = picture;
  const from = boundaries[range.from];
  const to = boundaries[range.to + 1];
  const low = Math.min(from, to);
  const high = Math.max(from, to);
  context.fillStyle = colour;
  fillBand(context, axis, low, high, thicknessPx - 1 - widthPx, thicknessPx - 1);
  fillBand(context, axis, low - 1, low + 1, marginPx - 2, thicknessPx - 1);
  fillBand(context, axis, high - 1, high + 1, marginPx - 2, thicknessPx - 1);
}

function paintCursor(context: CanvasRenderingContext2D, picture: RibbonPicture, index: number) {
  const { axis, boundaries, marginPx, ink } = picture;
  const at = (boundaries[index] + boundaries[index + 1]) / 2;
  const tip = marginPx - 1;
  context.fillStyle = ink.accent;
  context.beginPath();
  if (axis === 'picks') {
    context.moveTo(tip, at);
    context.lineTo(tip - 7, at - 5);
    context.lineTo(tip - 7, at + 5);
  } else {
    context.moveTo(at, tip);
    context.lineTo(at - 5, tip - 7);
    context.lineTo(at + 5, tip - 7);
  }
  context.closePath();
  context.fill();
}
