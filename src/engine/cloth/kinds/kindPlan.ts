import type { ClothProblem, KindBand, Progress } from '#engine/cloth/clothTypes.ts';
import { type Crew, together } from '#engine/cloth/crew.ts';
import { paused } from '#engine/cloth/pauses.ts';
import { sameValues } from '#engine/units/sameValues.ts';
import { kindCuts } from './kindBands.ts';
import { chooseKindWindows, type KindWindow, type NumberedCloth, windowAbout } from './kindWindows.ts';
import { Neighbourhoods } from './neighbourhoods.ts';
import { type NumberedBand, numberBand, numberingJob } from './numberBand.ts';
import { PairNumbers } from './pairNumbers.ts';
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
  readonly bands: readonly KindBand[];
  /** Per kind, a crossing within the windows' inner parts, row-major over the cloth. */
  readonly standsFor: Int32Array;
  /** Share of the crossings that are alike as far as `reach` to what stands for them. */
  readonly share: number;
  readonly reach: number;
  /** What it was made for. */
  readonly bits: Uint32Array;
  readonly keys: ThreadKeys;
}

/** A plan whose windows can be solved already. */
export interface KindPlanBegun {
  readonly windows: readonly KindWindow[];
  /** Finds what stands for each kind; the plan then may have a few windows more behind these. Undefined where there would be too many. */
  readonly complete: () => Generator<Progress, KindPlan | undefined>;
}

/**
 * Finds the kinds of crossing of a cloth of whole rows and windows that hold most of them. Undefined where as much would
 * have to be solved as the whole is.
 * @param before returned again where lifts and threads are as they were
 * @param crew threads that tell kinds apart band by band, where there are any: the kinds are the same
 */
export function* planKinds(
  problem: ClothProblem,
  rowYMm: ArrayLike<number>,
  before: KindPlan | undefined,
  crew?: Crew,
): Generator<Progress, KindPlan | KindPlanBegun | undefined> {
  const { rows, ends, drawdown } = problem;
  const keys = threadKeys(problem, rowYMm);
  const { bits } = drawdown;
  const asBefore =
    before &&
    sameValues(before.bits, bits) &&
    sameValues(before.keys.rows, keys.rows) &&
    sameValues(before.keys.ends, keys.ends);
  if (asBefore) return before;
  const planning: Progress = { stage: 'heights', share: 0.02 };
  for (const reach of REACHES) {
    const most = reach > 1 ? MOST_KINDS_SHARE * rows * ends : Infinity;
    const cloth = yield* numberCloth(problem, keys, reach, most, crew);
    if (!cloth) continue;
    const windowSize = 64 * 64;
    const mostWindows = Math.min(MOST_WINDOWS, Math.floor((MOST_SHARE * rows * ends) / windowSize));
    const chosen = yield* paused(chooseKindWindows(cloth, mostWindows, ENOUGH), planning);
    const complete = function* (): Generator<Progress, KindPlan | undefined> {
      const { standsFor, share } = chosen;
      const windows = chosen.windows.slice();
      let missing = yield* paused(fillIn(problem, keys, windows, cloth, standsFor), planning);
      // A pair of yarns may be so rare that no window holds it: one about it then.
      while (missing >= 0 && windows.length < MOST_WINDOWS + 8) {
        windows.push(windowAbout(cloth, missing));
        missing = yield* paused(fillIn(problem, keys, windows, cloth, standsFor), planning);
      }
      if (missing >= 0) return undefined;
      const { cuts, globalOf } = cloth;
      const bands = cloth.bands.map(({ kindOf }, k) => ({
        ...{ from: cuts[k], to: cuts[k + 1], kindOf, globalOf: globalOf[k] },
      }));
      return { windows, bands, standsFor, share, reach, bits, keys };
    };
    return { windows: chosen.windows, complete };
  }
  return undefined;
}

/** Tells the kinds of all crossings apart; undefined where there are more than `most`. */
function* numberCloth(
  { rows, ends, drawdown }: ClothProblem,
  keys: ThreadKeys,
  reach: number,
  most: number,
  crew: Crew | undefined,
): Generator<Progress, NumberedCloth | undefined> {
  const cuts = kindCuts(rows);
  const jobs = cuts.slice(1).map((to, k) => () => numberingJob(drawdown, keys, reach, { from: cuts[k], to }));
  const numbers = new PairNumbers();
  const bands: NumberedBand[] = [];
  const globalOf: Uint32Array[] = [];
  const take = (band: NumberedBand) => {
    bands.push(band);
    if (numbers.count <= most) globalOf.push(Uint32Array.from(band.a, (a, kind) => numbers.add(a, band.b[kind])));
  };
  yield* together(crew, numberBand, jobs, take, (share) => ({ stage: 'heights', share: 0.02 * share }));
  if (numbers.count > most) return undefined;
  return { rows, ends, cuts, bands, globalOf, kinds: numbers.count };
}

/**
 * Lets a crossing of the windows that is alike as far as may be stand for each kind that they do not hold. Returns a crossing
 * for whose kind there is none, −1 where each has one. Pauses now and then.
 */
function* fillIn(
  problem: ClothProblem,
  keys: ThreadKeys,
  windows: readonly KindWindow[],
  { cuts, bands, globalOf }: NumberedCloth,
  standsFor: Int32Array,
): Generator<void, number> {
  const { ends } = problem;
  let left: { readonly kind: number; readonly crossing: number }[] = [];
  const noted = new Uint8Array(standsFor.length);
  bands.forEach(({ counts, firstOf }, number) => {
    const of = globalOf[number];
    for (let k = 0; k < of.length; k++) {
      const kind = of[k];
      if (counts[k] === 0 || standsFor[kind] >= 0 || noted[kind] === 1) continue;
      noted[kind] = 1;
      left.push({ kind, crossing: cuts[number] * ends + firstOf[k] });
    }
  });
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
    left = left.filter(({ kind, crossing }) => {
      about.look(Math.floor(crossing / ends), crossing % ends);
      const number = numbers.find(about.a, about.b);
      if (number >= 0) standsFor[kind] = first[number];
      return number < 0;
    });
  }
  return left.length > 0 ? left[0].crossing : -1;
}
