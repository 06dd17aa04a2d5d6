import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { chooseKindWindows, type KindWindow, partOf } from './kindWindows.ts';
import { Neighbourhoods, PairNumbers } from './neighbourhoods.ts';
import { type ThreadKeys, threadKeys, withoutSpaces } from './threadKeys.ts';

/** Crossings either way that a kind is told by; nearer ones where a cloth has more kinds than it is worth having. */
const REACHES = [6, 3, 1];
/** How far what stands in for a kind that no window holds is alike, and whether in the rows' spaces too. */
const NEARER = [
  { reach: 6, spaces: false },
  { reach: 3, spaces: true },
  { reach: 3, spaces: false },
  { reach: 2, spaces: false },
  { reach: 1, spaces: false },
  { reach: 0, spaces: false },
] as const;
/** More kinds than this share of the crossings are as good as none. */
const MOST_KINDS_SHARE = 0.25;
/** Windows solved at most: each is some 4 000 crossings. */
const MOST_WINDOWS = 32;
/** And no more than this share of the cloth. */
const MOST_SHARE = 0.4;
/** Share of the crossings whose own kinds are solved before no more windows are looked for. */
const ENOUGH = 0.995;

/** Which crossings of a cloth are solved, and which of them each crossing is like. */
export interface KindPlan {
  readonly windows: readonly KindWindow[];
  readonly kindOf: Uint32Array;
  /** Per kind, a crossing within the windows' inner parts, row-major over the cloth. */
  readonly standsFor: Int32Array;
  /** Share of the crossings that are alike as far as `reach` to what stands for them. */
  readonly share: number;
  readonly reach: number;
  /** What it was made for. */
  readonly bits: Uint32Array;
  readonly keys: ThreadKeys;
}

function same(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  if (a.length !== b.length) return false;
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false;
  return true;
}

/**
 * Finds the kinds of crossing of a cloth of whole rows and windows that hold most of them. Undefined where as much would
 * have to be solved as the whole is. Pauses now and then.
 * @param before returned again where lifts and threads are as they were
 */
export function* planKinds(
  problem: ClothProblem,
  rowYMm: ArrayLike<number>,
  before: KindPlan | undefined,
): Generator<void, KindPlan | undefined> {
  const { rows, ends, drawdown } = problem;
  const keys = threadKeys(problem, rowYMm);
  const { bits } = drawdown;
  if (before && same(before.bits, bits) && same(before.keys.rows, keys.rows) && same(before.keys.ends, keys.ends))
    return before;
  for (const reach of REACHES) {
    const about = new Neighbourhoods(drawdown, keys, reach);
    const most = reach > 1 ? MOST_KINDS_SHARE * rows * ends : Infinity;
    const numbered = yield* about.numberAll(most);
    if (!numbered) continue;
    const { kindOf, kinds } = numbered;
    const windowSize = 64 * 64;
    const mostWindows = Math.min(MOST_WINDOWS, Math.floor((MOST_SHARE * rows * ends) / windowSize));
    const chosen = yield* chooseKindWindows(kindOf, kinds, rows, ends, mostWindows, ENOUGH);
    const { standsFor, share } = chosen;
    const windows = chosen.windows.slice();
    let missing = yield* fillIn(problem, keys, windows, kindOf, standsFor);
    // A pair of yarns may be so rare that no window holds it: one about it then.
    while (missing >= 0 && windows.length < MOST_WINDOWS + 8) {
      windows.push(partOf(missing, rows, ends));
      missing = yield* fillIn(problem, keys, windows, kindOf, standsFor);
    }
    if (missing >= 0) return undefined;
    return { windows, kindOf, standsFor, share, reach, bits, keys };
  }
  return undefined;
}

/**
 * Lets a crossing of the windows that is alike as far as may be stand for each kind that they do not hold. Returns a crossing
 * for whose kind there is none, −1 where each has one.
 */
function* fillIn(
  problem: ClothProblem,
  keys: ThreadKeys,
  windows: readonly KindWindow[],
  kindOf: Uint32Array,
  standsFor: Int32Array,
): Generator<void, number> {
  const { ends } = problem;
  const left: number[] = [];
  const noted = new Uint8Array(standsFor.length);
  for (let k = 0; k < kindOf.length; k++) {
    const kind = kindOf[k];
    if (standsFor[kind] >= 0 || noted[kind] === 1) continue;
    noted[kind] = 1;
    left.push(k);
  }
  yield;
  const bare = withoutSpaces(keys);
  for (const { reach, spaces } of NEARER) {
    if (left.length === 0) return -1;
    const about = new Neighbourhoods(problem.drawdown, spaces ? keys : bare, reach);
    const numbers = new PairNumbers();
    const first: number[] = [];
    for (const { inner } of windows) {
      for (let row = inner.firstRow; row <= inner.lastRow; row++) {
        for (let end = inner.firstEnd; end <= inner.lastEnd; end++) {
          about.look(row, end);
          if (numbers.add(about.a, about.b) === first.length) first.push(row * ends + end);
        }
      }
      yield;
    }
    let kept = 0;
    for (const k of left) {
      about.look(Math.floor(k / ends), k % ends);
      const number = numbers.find(about.a, about.b);
      if (number >= 0) standsFor[kindOf[k]] = first[number];
      else left[kept++] = k;
    }
    left.length = kept;
  }
  return left.length > 0 ? left[0] : -1;
}
