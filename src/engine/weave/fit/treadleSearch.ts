import { type SetWords, setCount } from '#engine/draft/shaftSet.ts';

export interface TreadlesFound {
  /** The treadles to press, as a set. */
  readonly low: number;
  readonly high: number;
  /** No set of treadles costs less than this; the set's own cost where it is known to be the best. */
  readonly leastCost: number;
}

export type TreadleSearch = (weights: Float64Array, timeLeft: () => boolean) => TreadlesFound;

/** How often the clock is looked at: once in so many steps of the search. */
const STEPS_A_LOOK = 256;

/**
 * Which treadles to press so that the shafts they move weigh least together: a shaft counts once, however many of the
 * treadles move it.
 */
export function createTreadleSearch(
  treadles: SetWords,
  shafts: number,
  { one, everyUpTo }: { readonly one: boolean; readonly everyUpTo: number },
): TreadleSearch {
  const count = setCount(treadles);
  if (one) return (weights) => best(singles(treadles, count), weights, shafts);
  if (count <= everyUpTo) {
    const unions = allUnions(treadles, count);
    return (weights) => best(unions, weights, shafts);
  }
  return (weights, timeLeft) => branchAndBound(treadles, count, shafts, weights, timeLeft);
}

/** Sets of treadles, two words each, with the shafts they move, two words each. */
interface Choices {
  readonly pressed: Uint32Array;
  readonly moved: Int32Array;
}

function singles(treadles: SetWords, count: number): Choices {
  const pressed = new Uint32Array(2 * count + 2);
  const moved = new Int32Array(2 * count + 2);
  for (let k = 0; k < count; k++) {
    pressed[2 * k + (k >>> 5)] = 1 << (k & 31);
    moved[2 * k] = treadles[2 * k];
    moved[2 * k + 1] = treadles[2 * k + 1];
  }
  // Last, so that a treadle that costs as little is pressed rather than none.
  return { pressed, moved };
}

/** Every union of treadles once, that of the fewest treadles first met standing for it. */
function allUnions(treadles: SetWords, count: number): Choices {
  const pressed: number[] = [];
  const moved: number[] = [];
  const known = new Set<string>();
  const sets = Array.from({ length: 2 ** count }, (_, set) => set).sort((a, b) => ones(a) - ones(b) || a - b);
  for (const set of [...sets.slice(1), 0]) {
    let low = 0;
    let high = 0;
    for (let k = 0; k < count; k++) {
      if (((set >>> k) & 1) === 0) continue;
      low |= treadles[2 * k];
      high |= treadles[2 * k + 1];
    }
    const key = `${low} ${high}`;
    if (known.has(key)) continue;
    known.add(key);
    pressed.push(set, 0);
    moved.push(low, high);
  }
  return { pressed: Uint32Array.from(pressed), moved: Int32Array.from(moved) };
}

function ones(set: number): number {
  let count = 0;
  for (let rest = set; rest !== 0; rest &= rest - 1) count++;
  return count;
}

/** The choice that weighs least, shafts summed a byte (8 of them) at a time. */
function best({ pressed, moved }: Choices, weights: Float64Array, shafts: number): TreadlesFound {
  const bytes = (shafts + 7) >>> 3;
  const table = byteSums(weights, bytes);
  let least = Number.POSITIVE_INFINITY;
  let at = 0;
  for (let k = 0; k < moved.length; k += 2) {
    let sum = 0;
    for (let byte = 0; byte < bytes; byte++)
      sum += table[256 * byte + ((moved[k + (byte >>> 2)] >>> (8 * (byte & 3))) & 255)];
    if (sum >= least) continue;
    least = sum;
    at = k;
  }
  return { low: pressed[at], high: pressed[at + 1], leastCost: least };
}

function byteSums(weights: Float64Array, bytes: number): Float64Array {
  const table = new Float64Array(256 * bytes);
  for (let byte = 0; byte < bytes; byte++) {
    for (let set = 1; set < 256; set++) {
      const rest = set & (set - 1);
      const shaft = 8 * byte + 31 - Math.clz32(set & -set);
      table[256 * byte + set] = table[256 * byte + rest] + (weights[shaft] ?? 0);
    }
  }
  return table;
}

/**
 * Depth first over the treadles, those that gain most first. What a branch can still gain is at most all the gains among
 * the shafts that its remaining treadles move. Treadles without any gain are never pressed, those without any loss always.
 */
function branchAndBound(
  treadles: SetWords,
  count: number,
  shafts: number,
  weights: Float64Array,
  timeLeft: () => boolean,
): TreadlesFound {
  const sum = (low: number, high: number, only: 'all' | 'gains' | 'losses') => {
    let total = 0;
    for (let shaft = 0; shaft < shafts; shaft++) {
      if ((((shaft < 32 ? low : high) >>> (shaft & 31)) & 1) === 0) continue;
      const weight = weights[shaft];
      if (only === 'all' || (only === 'gains') === weight < 0) total += weight;
    }
    return total;
  };
  let startLow = 0;
  let startHigh = 0;
  const pressedAtStart: number[] = [];
  const open: number[] = [];
  for (let k = 0; k < count; k++) {
    const [low, high] = [treadles[2 * k] | 0, treadles[2 * k + 1] | 0];
    if (sum(low, high, 'gains') === 0) continue;
    if (sum(low, high, 'losses') > 0) open.push(k);
    else {
      pressedAtStart.push(k);
      startLow |= low;
      startHigh |= high;
    }
  }
  open.sort(
    (a, b) => sum(treadles[2 * a], treadles[2 * a + 1], 'all') - sum(treadles[2 * b], treadles[2 * b + 1], 'all'),
  );
  const reachLow = new Int32Array(open.length + 1);
  const reachHigh = new Int32Array(open.length + 1);
  for (let k = open.length - 1; k >= 0; k--) {
    reachLow[k] = reachLow[k + 1] | treadles[2 * open[k]];
    reachHigh[k] = reachHigh[k + 1] | treadles[2 * open[k] + 1];
  }
  let bestCost = sum(startLow, startHigh, 'all');
  let bestSet: readonly number[] = pressedAtStart;
  let leastOpen = Number.POSITIVE_INFINITY;
  let steps = 0;
  let over = false;
  const chosen = [...pressedAtStart];

  const look = (k: number, low: number, high: number, cost: number): void => {
    const bound = cost + sum(reachLow[k] & ~low, reachHigh[k] & ~high, 'gains');
    if (bound >= bestCost) return;
    // The first way down is always gone, so that there is a good answer however short the time.
    if (!over && steps > open.length && steps % STEPS_A_LOOK === 0) over = !timeLeft();
    steps++;
    if (over) {
      leastOpen = Math.min(leastOpen, bound);
      return;
    }
    const treadle = open[k];
    const moreLow = treadles[2 * treadle] & ~low;
    const moreHigh = treadles[2 * treadle + 1] & ~high;
    const more = cost + sum(moreLow, moreHigh, 'all');
    chosen.push(treadle);
    if (more < bestCost) {
      bestCost = more;
      bestSet = [...chosen];
    }
    look(k + 1, low | moreLow, high | moreHigh, more);
    chosen.pop();
    look(k + 1, low, high, cost);
  };
  look(0, startLow, startHigh, bestCost);

  const set = new Uint32Array(2);
  for (const k of bestSet) set[k >>> 5] |= 1 << (k & 31);
  return { low: set[0], high: set[1], leastCost: Math.min(bestCost, leastOpen) };
}
