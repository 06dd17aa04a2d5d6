import type { Break } from './brokenOrder.ts';

/** A mirror over part of an order is told from chance by so many threads and stripes on either side of its middle … */
const LEAST_HALF = 20;
const LEAST_STRIPES = 6;
/** … of which so many stripes lie within the thread that breaks it, and so many threads and stripes beyond. */
const LEAST_WITHIN_STRIPES = 3;
const LEAST_BEYOND = 8;
const LEAST_BEYOND_STRIPES = 3;

interface Reach {
  /** Pairs that match, from the middle outwards. */
  readonly pairs: number;
  /** Stripes among them; threads one and one are one stripe, since they are alike about each of their threads. */
  readonly stripes: number;
}

/** How far the threads from `low` down and from `high` up are alike. */
function reach(order: ArrayLike<number>, low: number, high: number): Reach {
  let pairs = 0;
  let stripes = 0;
  while (low - pairs >= 0 && high + pairs < order.length && order[low - pairs] === order[high + pairs]) {
    const here = order[high + pairs];
    if (pairs === 0 || (here !== order[high + pairs - 1] && here !== order[high + pairs - 2])) stripes++;
    pairs++;
  }
  return { pairs, stripes };
}

/** Every thread, or every second, third or fourth: so a ground of one and one between them may run on unmirrored. */
const STRIDES = [1, 2, 3, 4];

/** Whether a thread is the middle of a mirror of several stripes: then it stands alone because it is the middle. */
export function isMirrorMiddle(order: ArrayLike<number>, at: number): boolean {
  return STRIDES.some((stride) => {
    const every: number[] = [];
    for (let k = at % stride; k < order.length; k += stride) every.push(order[k]);
    const middle = Math.floor(at / stride);
    return reach(every, middle, middle).stripes >= LEAST_STRIPES;
  });
}

/**
 * The one thread that breaks a mirror over part of an order: about the middle of some stripe threads are alike outwards, then
 * one is too many on a side or another, and after it they are alike again. Not told where a whole mirror about another
 * middle, as far across, has that thread in it: then it is meant. Undefined where there is none.
 */
export function brokenPartMirror(order: ArrayLike<number>): Break | undefined {
  let best: { found: Break; half: number } | undefined;
  const whole: { middle: number; half: number }[] = [];
  for (let from = 0; from < order.length; ) {
    let to = from;
    while (to + 1 < order.length && order[to + 1] === order[from]) to++;
    // About the middle of this stripe; a stripe across a turn is as wide on both sides.
    const { pairs, stripes } = reach(order, from, to);
    const [low, high] = [from - pairs, to + pairs];
    const width = to - from + 1;
    const half = width / 2 + pairs - 1;
    if (stripes >= LEAST_STRIPES) whole.push({ middle: (from + to) / 2, half });
    if (low >= 0 && high < order.length) {
      for (const [what, lowNext, highNext, at] of [
        ['extra', low - 1, high, low],
        ['extra', low, high + 1, high],
        ['other', low - 1, high + 1, low],
      ] as const) {
        const beyond = reach(order, lowNext, highNext);
        if (beyond.pairs < LEAST_BEYOND || beyond.stripes < LEAST_BEYOND_STRIPES) continue;
        const all = half + beyond.pairs;
        if (all < LEAST_HALF || stripes < LEAST_WITHIN_STRIPES || stripes + beyond.stripes < LEAST_STRIPES) continue;
        if (best && all <= best.half) continue;
        const within = [lowNext - beyond.pairs + 1, highNext + beyond.pairs - 1] as const;
        best = { found: { at, what, within }, half: all };
      }
    }
    from = to + 1;
  }
  if (!best) return undefined;
  const { found, half } = best;
  const meant = whole.some((mirror) => mirror.half >= half && Math.abs(found.at - mirror.middle) <= mirror.half);
  return meant ? undefined : found;
}
