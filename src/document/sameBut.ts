import { classNumbers } from '#engine/draft/classNumbers.ts';
import type { ListedPick, Otherwise } from './weavingList.ts';

/** More wefts exchanged at once are no longer one thing that differs (chosen). */
const MOST_SWAPS = 3;

/** Picks as they are compared with one another. */
export interface ComparedPicks {
  readonly picks: readonly ListedPick[];
  /** A number for each, the same for those that are woven alike. */
  readonly kinds: Uint32Array;
  /** The same for those that are alike but for their wefts, the sides these enter from, and the beat. */
  readonly shapes: Uint32Array;
  /** The same for those that are alike but for what is lifted. */
  readonly laid: Uint32Array;
}

export function comparedPicks(picks: readonly ListedPick[]): ComparedPicks {
  return {
    picks,
    kinds: classNumbers(picks.map((pick) => JSON.stringify(pick))),
    shapes: classNumbers(
      picks.map(({ lift, passes, pauseBeforeMin }) =>
        JSON.stringify([lift, passes.map(({ letters: _, enters: __, ...rest }) => rest), pauseBeforeMin]),
      ),
    ),
    laid: classNumbers(picks.map(({ lift: _, ...rest }) => JSON.stringify(rest))),
  };
}

interface Same {
  /** So many picks one after the other. */
  readonly count: number;
  /** What is different in all of them; absent: nothing. */
  readonly otherwise?: Otherwise;
}

/** How far picks from `later` on are those from `earlier` on, alike or but for one thing; both from 0, `most` at most. */
export function sameBut(compared: ComparedPicks, earlier: number, later: number, most: number): Same {
  const alike = followAlike(compared, earlier, later, most);
  if (alike.count === most) return alike;
  return [followWefts, followSides, followBeat, followLifts]
    .map((follow) => follow(compared, earlier, later, most))
    .reduce((best, same) => (same.count > best.count ? same : best), alike);
}

type Follow = (compared: ComparedPicks, earlier: number, later: number, most: number) => Same;

const beatsAlike = (a: ListedPick, b: ListedPick) =>
  a.beatPercent === b.beatPercent && a.firmerByPercent === b.firmerByPercent;
const wefts = ({ passes }: ListedPick) => passes.map(({ letters }) => letters);
const sides = ({ passes }: ListedPick) => passes.map(({ enters }) => enters);
const alike = (a: readonly string[], b: readonly string[]) => a.every((each, k) => each === b[k]);

function countWhile(most: number, holds: (k: number) => boolean): number {
  let count = 0;
  while (count < most && holds(count)) count++;
  return count;
}

const followAlike: Follow = ({ kinds }, earlier, later, most) => ({
  count: countWhile(most, (k) => kinds[earlier + k] === kinds[later + k]),
});

const followWefts: Follow = ({ picks, shapes }, earlier, later, most) => {
  let nowOf: ReadonlyMap<string, string> = new Map();
  const count = countWhile(most, (k) => {
    const [a, b] = [picks[earlier + k], picks[later + k]];
    if (shapes[earlier + k] !== shapes[later + k] || !beatsAlike(a, b) || !alike(sides(a), sides(b))) return false;
    const now = wefts(b);
    const next = new Map(nowOf);
    for (const [pass, was] of wefts(a).entries()) {
      if ((next.get(was) ?? now[pass]) !== now[pass]) return false;
      next.set(was, now[pass]);
    }
    // One weft in place of two would leave the eye no way back to which of them it was.
    if (new Set(next.values()).size < next.size || exchanged(next).length > MOST_SWAPS) return false;
    nowOf = next;
    return true;
  });
  const swaps = exchanged(nowOf);
  return swaps.length === 0 ? { count } : { count, otherwise: { what: 'wefts', swaps } };
};

function exchanged(nowOf: ReadonlyMap<string, string>): (readonly [was: string, now: string])[] {
  return [...nowOf].filter(([was, now]) => was !== now);
}

const followSides: Follow = ({ picks, shapes }, earlier, later, most) => ({
  count: countWhile(most, (k) => {
    const [a, b] = [picks[earlier + k], picks[later + k]];
    const turned = sides(b);
    return (
      shapes[earlier + k] === shapes[later + k] &&
      beatsAlike(a, b) &&
      alike(wefts(a), wefts(b)) &&
      sides(a).every((side, pass) => side !== turned[pass])
    );
  }),
  otherwise: { what: 'sides' },
});

const followBeat: Follow = ({ picks, shapes }, earlier, later, most) => {
  const { beatPercent, firmerByPercent } = picks[later];
  const count = countWhile(most, (k) => {
    const [a, b] = [picks[earlier + k], picks[later + k]];
    return (
      shapes[earlier + k] === shapes[later + k] &&
      alike(wefts(a), wefts(b)) &&
      alike(sides(a), sides(b)) &&
      beatsAlike(a, picks[earlier]) &&
      beatsAlike(b, picks[later])
    );
  });
  return {
    count,
    otherwise: {
      what: 'beat',
      ...(beatPercent === undefined ? {} : { beatPercent }),
      ...(firmerByPercent === undefined ? {} : { firmerByPercent }),
    },
  };
};

const followLifts: Follow = ({ picks, laid }, earlier, later, most) => {
  let swap: readonly [was: number, now: number] | undefined;
  const stayed = new Set<number>();
  const count = countWhile(most, (k) => {
    const [a, b] = [picks[earlier + k].lift, picks[later + k].lift];
    if (laid[earlier + k] !== laid[later + k] || a.length !== b.length) return false;
    const gone = a.filter((member) => !b.includes(member));
    if (gone.length === 0) {
      for (const member of a) stayed.add(member);
      return swap === undefined || !a.includes(swap[0]);
    }
    const [come] = b.filter((member) => !a.includes(member));
    swap ??= stayed.has(gone[0]) ? undefined : [gone[0], come];
    return gone.length === 1 && swap !== undefined && swap[0] === gone[0] && swap[1] === come;
  });
  return swap ? { count, otherwise: { what: 'lifts', swap } } : { count };
};
