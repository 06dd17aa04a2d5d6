import { PairNumbers } from '#engine/cloth/kinds/pairNumbers.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { readWindow, Side, type Split, splitWindow, WINDOW, wordOf } from './layerMap.ts';

/** Threads of the narrowest pocket that is told: two of each layer. */
const NARROW = 4;
const LOW_BITS = (1 << NARROW) - 1;
/** Rows and ends of the places that are looked at. */
const PLACES = [
  [WINDOW, NARROW],
  [NARROW, WINDOW],
  [NARROW, NARROW],
] as const;
/** Cloths without a repeat larger than this are not looked through. */
const MOST_CROSSINGS = 16_384;

const split: Split = { upperEnds: 0, lowerEnds: 0, upperRows: 0, lowerRows: 0 };

/** Whether each pick and each end of a part goes both over and under others of it: a stripe of a backed cloth does not. */
function weaves(bytes: Uint8Array, rowMask: number, endMask: number): boolean {
  let ever = 0;
  let always = endMask;
  for (let row = 0; row < WINDOW; row++) {
    if (!(rowMask & (1 << row))) continue;
    const up = bytes[row] & endMask;
    if (up === 0 || up === endMask) return false;
    ever |= up;
    always &= up;
  }
  return ever === endMask && always === 0;
}

const isTwoCloths = (bytes: Uint8Array): boolean =>
  splitWindow(bytes, split) &&
  weaves(bytes, split.upperRows, split.upperEnds) &&
  weaves(bytes, split.lowerRows, split.lowerEnds);

/**
 * Whether half or more of a cloth that nowhere falls into layers over eight threads each way (`layerMap.ts`) does so in places
 * four to seven threads wide: whether four neighbouring threads, over eight or four of the others, would be two plain cloths, were
 * they repeated side by side. In a backed cloth such places overlap, and a pick that is uppermost in one lies below in the next:
 * that is no pocket. Pauses now and then.
 * @param rows,ends of the drawdown that are looked at: one repeat of it where `repeats`
 */
export function* hasNarrowLayers(
  drawdown: Drawdown,
  rows: number,
  ends: number,
  repeats: boolean,
): Generator<void, boolean> {
  if (!repeats && rows * ends > MOST_CROSSINGS) return false;
  const window = new Uint8Array(WINDOW);
  const stripe = new Uint8Array(WINDOW);
  const rowSide = new Uint8Array(rows * ends);
  const endSide = new Uint8Array(rows * ends);
  const lastRow = repeats ? rows - 1 : rows - WINDOW;
  const lastEnd = repeats ? ends - 1 : ends - WINDOW;
  const twice = (byte: number) => (byte & LOW_BITS) | ((byte & LOW_BITS) << NARROW);
  // Most windows of a cloth are alike: those without layers are tried once.
  const tried = new PairNumbers();
  const whole = new Set<number>();
  for (let row = 0; row <= lastRow; row++) {
    if (row > 0 && row % 8 === 0) yield;
    for (let end = 0; end <= lastEnd; end++) {
      readWindow(drawdown, rows, ends, row, end, window);
      const number = tried.add(wordOf(window, 0), wordOf(window, 4));
      if (whole.has(number)) continue;
      let found = false;
      for (const [tall, wide] of PLACES) {
        for (let k = 0; k < WINDOW; k++) stripe[k] = wide === NARROW ? twice(window[k % tall]) : window[k % tall];
        if (!isTwoCloths(stripe)) continue;
        found = true;
        for (let j = 0; j < tall; j++) {
          for (let k = 0; k < wide; k++) {
            const at = ((row + j) % rows) * ends + ((end + k) % ends);
            rowSide[at] |= split.upperRows & (1 << j) ? Side.upper : Side.lower;
            endSide[at] |= split.upperEnds & (1 << k) ? Side.upper : Side.lower;
          }
        }
      }
      if (!found) whole.add(number);
    }
  }
  const bothSides = Side.upper | Side.lower;
  if (rowSide.includes(bothSides) || endSide.includes(bothSides)) return false;
  return 2 * rowSide.filter((side) => side !== Side.none).length >= rowSide.length;
}
