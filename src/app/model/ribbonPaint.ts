import type { ColourRun } from '#engine/yarn/colourRepeat.ts';
import { numberEvery, type RibbonAxis } from './ribbonScale.ts';
import type { ThreadGroup } from './threadGroups.ts';

/** Colours of the page's own lines, read from the style sheet so that both schemes are followed. */
export interface InkColours {
  readonly ink: string;
  readonly hairline: string;
  readonly accent: string;
  readonly paper: string;
}

/** Part of a width, shares of it from the left. */
export interface ThreadSpan {
  readonly from: number;
  readonly to: number;
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
  readonly positionsMm: ArrayLike<number>;
  /** The pick of each row, from 0, by which rows are numbered; none: each thread is its own. */
  readonly pickOf: ArrayLike<number> | undefined;
  readonly yarnOf: ArrayLike<number>;
  /** Part of the band that a yarn takes, by yarn; none: all of it. */
  readonly spanOf: readonly (ThreadSpan | undefined)[] | undefined;
  /** True while the cloth shows its back, and with it left for right. */
  readonly mirrored: boolean;
  /** CSS colours of each yarn's strands. */
  readonly coloursOf: readonly (readonly string[])[];
  /** Colours along a thread from the left of the face, where it changes colour; none: each is of its yarn's. */
  readonly runsOf?: readonly (readonly ColourRun[] | undefined)[];
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

/** Where a yarn's span lies across the band, px. */
function spanPx(picture: RibbonPicture, yarn: number, bandFrom: number, bandTo: number): [from: number, to: number] {
  const span = picture.spanOf?.[yarn];
  if (!span) return [bandFrom, bandTo];
  const [from, to] = picture.mirrored ? [1 - span.to, 1 - span.from] : [span.from, span.to];
  const start = bandFrom + from * (bandTo - bandFrom);
  return [start, Math.max(bandFrom + to * (bandTo - bandFrom), start + 1)];
}

/** The last of the passes that lie side by side in one shed from row `first` on: they share a strip. */
function lastBeside({ count, positionsMm, pickOf, yarnOf, spanOf }: RibbonPicture, first: number): number {
  let last = first;
  for (let next = first + 1; next < count; next++) {
    const together = pickOf ? pickOf[next] === pickOf[first] : positionsMm[next] === positionsMm[first];
    const span = spanOf?.[yarnOf[next]];
    if (!together || span === undefined) break;
    let clear = true;
    for (let i = first; i <= last && clear; i++) {
      const other = spanOf?.[yarnOf[i]];
      clear = other !== undefined && !overlaps(span, other);
    }
    if (!clear) break;
    last = next;
  }
  return last;
}

function paintThreads(context: CanvasRenderingContext2D, picture: RibbonPicture, bandFrom: number, bandTo: number) {
  const { axis, boundaries, count, ink, lengthPx, yarnOf, coloursOf, widthMmOf, meanPitchMm } = picture;
  for (let first = 0; first < count; ) {
    const last = lastBeside(picture, first);
    const low = Math.min(boundaries[first], boundaries[last + 1]);
    const high = Math.max(boundaries[first], boundaries[last + 1]);
    if (high >= 0 && low <= lengthPx) {
      const pitch = high - low;
      if (picture.spanOf?.[yarnOf[first]]) {
        // The empty part of the shed.
        context.fillStyle = ink.hairline;
        fillBand(context, axis, (low + high - 1) / 2, (low + high + 1) / 2, bandFrom, bandTo);
      }
      for (let i = first; i <= last; i++) {
        const yarn = yarnOf[i];
        const width = Math.max(1, Math.min(pitch - (pitch > 6 ? 1 : 0.5), (widthMmOf[yarn] / meanPitchMm) * pitch));
        const start = (low + high - width) / 2;
        const [from, to] = spanPx(picture, yarn, bandFrom, bandTo);
        const runs = picture.runsOf?.[i];
        if (runs) {
          for (const run of runs) {
            const [left, right] = picture.mirrored ? [1 - run.to, 1 - run.from] : [run.from, run.to];
            context.fillStyle = run.colour;
            fillBand(context, axis, start, start + width, from + left * (to - from), from + right * (to - from));
          }
          continue;
        }
        const strands = coloursOf[yarn];
        strands.forEach((colour, k) => {
          context.fillStyle = colour;
          const at = start + (width * k) / strands.length;
          fillBand(context, axis, at, at + width / strands.length, from, to);
        });
      }
    }
    first = last + 1;
  }
}

/** Height of the bands in which partial passes over the same ends take turns where rows are too fine to tell, px. */
const turnPx = 3;

function paintGroups(context: CanvasRenderingContext2D, picture: RibbonPicture, bandFrom: number, bandTo: number) {
  const { axis, boundaries, coloursOf, groups, lengthPx, spanOf } = picture;
  for (const group of groups) {
    const from = Math.min(boundaries[group.from], boundaries[group.to + 1]);
    const to = Math.max(boundaries[group.from], boundaries[group.to + 1]);
    if (to < 0 || from > lengthPx) continue;
    const colours = group.order.filter((yarn) => !spanOf?.[yarn]).flatMap((yarn) => coloursOf[yarn]);
    const lane = (bandTo - bandFrom) / colours.length;
    colours.forEach((colour, k) => {
      context.fillStyle = colour;
      fillBand(context, axis, from, to, bandFrom + lane * k, bandFrom + lane * (k + 1));
    });
    const partial = [...new Set(group.order.filter((yarn) => spanOf?.[yarn]))];
    partial.forEach((yarn, k) => {
      const [start, end] = spanPx(picture, yarn, bandFrom, bandTo);
      const rivals = partial.filter((other) => overlaps(spanOf?.[yarn], spanOf?.[other])).length;
      context.fillStyle = coloursOf[yarn][0];
      if (rivals === 1) {
        fillBand(context, axis, from, to, start, end);
        return;
      }
      for (let at = from + k * turnPx; at < to; at += partial.length * turnPx) {
        fillBand(context, axis, at, Math.min(at + turnPx, to), start, end);
      }
    });
  }
}

function overlaps(a: ThreadSpan | undefined, b: ThreadSpan | undefined): boolean {
  return a !== undefined && b !== undefined && a.from < b.to && b.from < a.to;
}

function paintNumbers(context: CanvasRenderingContext2D, picture: RibbonPicture, meanPitchPx: number) {
  const { axis, boundaries, count, lengthPx, marginPx, ink } = picture;
  const every = numberEvery(meanPitchPx, axis === 'picks' ? 30 : 46);
  context.font = '11px system-ui, sans-serif';
  context.fillStyle = ink.ink;
  context.textBaseline = 'middle';
  for (let i = 0; i < count; i++) {
    const number = (picture.pickOf?.[i] ?? i) + 1;
    // A pick of several passes is numbered at its first.
    if (number % every !== 0 || (i > 0 && picture.pickOf?.[i - 1] === number - 1)) continue;
    const at = (boundaries[i] + boundaries[i + 1]) / 2;
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
