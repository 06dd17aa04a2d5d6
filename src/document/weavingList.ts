import { comesAgain } from './comesAgain.ts';
import type { WeftPass } from './schema/pickSchema.ts';
import type { SampleBody } from './schema/sampleSchema.ts';

/** One weft of a pick as it is read at the loom. */
export interface ListedPass {
  /** Letters of the yarns that lie together, "A", "A+B". */
  readonly letters: string;
  readonly enters: WeftPass['enters'];
  /** First and last end, 1-based; absent where it runs right across. */
  readonly span?: readonly [number, number];
  readonly ends: WeftPass['ends'];
  /** What is done with the tails of a cut weft; absent: left as fringe. */
  readonly tails?: WeftPass['tails'];
  /** Length of each tail of a cut weft; absent: cut close. */
  readonly tailMm?: number;
}

export interface ListedPick {
  /** Shafts raised, or treadles pressed together, each named. */
  readonly lift: readonly number[];
  readonly passes: readonly ListedPass[];
  /** Where it differs from the sample's beat, per cent of the firmest. */
  readonly beatPercent?: number;
  /** In its place where picks per cm are fixed, whose beat only the forecast knows: by how much it is firmer than the rest. */
  readonly firmerByPercent?: number;
  readonly pauseBeforeMin?: number;
}

/** Picks written out, a line for each. */
export interface ListedLines {
  readonly kind: 'lines';
  /** The first of them, 1-based. */
  readonly fromPick: number;
  readonly picks: readonly ListedPick[];
}

/** Woven in turn, so many times. */
export interface ListedRound {
  readonly kind: 'round';
  readonly fromPick: number;
  /** Picks woven once through. */
  readonly count: number;
  readonly times: number;
  readonly items: readonly ListedItem[];
}

/** Woven as picks that are written before. */
export interface ListedAgain {
  readonly kind: 'again';
  readonly fromPick: number;
  /** Picks woven once through. */
  readonly count: number;
  readonly times: number;
  /** The first of those written, 1-based. */
  readonly asPick: number;
  /** The one thing that is not as there; absent: nothing. */
  readonly otherwise?: Otherwise;
  /** Rounds that it goes through on its first time, as picks here; `outer`: how often these come in a round that holds them. */
  readonly rounds: readonly (Pick<ListedRound, 'fromPick' | 'count' | 'times'> & { readonly outer: number })[];
}

export type ListedItem = ListedLines | ListedRound | ListedAgain;

/** What is different all through where picks come again. */
export type Otherwise =
  | { readonly what: 'wefts'; readonly swaps: readonly (readonly [was: string, now: string])[] }
  /** One shaft, or treadle, in place of another wherever that one is lifted. */
  | { readonly what: 'lifts'; readonly swap: readonly [was: number, now: number] }
  /** Each weft enters from the other side. */
  | { readonly what: 'sides' }
  /** Neither figure: the sample's own beat. */
  | ({ readonly what: 'beat' } & Pick<ListedPick, 'beatPercent' | 'firmerByPercent'>);

export interface WeavingList {
  /** Wefts by their letters, in the order in which they are first laid. */
  readonly wefts: readonly { readonly letter: string; readonly yarnId: string }[];
  readonly items: readonly ListedItem[];
}

/** Beats are told in steps a hand can tell apart, per cent of the firmest (chosen). */
const BEAT_STEP_PERCENT = 5;

/**
 * The picks as they are woven, first pick first; picks that come again at once, with the same lift, wefts, sides and beat,
 * are written once and how often they are woven, and rounds within such rounds are too.
 * @param again whether picks that come again later are told by those written before, and by what differs
 */
export function weavingList(body: SampleBody, again = true): WeavingList {
  const letters = new Map<string, string>();
  for (const { passes } of body.picks) {
    for (const yarnId of passes.flatMap(({ strands }) => strands)) {
      if (!letters.has(yarnId)) letters.set(yarnId, letterOf(letters.size));
    }
  }
  const picks = body.picks.map((pick): ListedPick => {
    const firmness = pick.beat ?? body.beat.firmness;
    const firmerBy = inBeatSteps(firmness - body.beat.firmness);
    const fixed = body.beat.fixedPicksPerCm !== undefined;
    return {
      lift: [...pick.lift].sort((a, b) => a - b),
      passes: pick.passes.map(({ strands, enters, ends, tails, tailMm, fromEnd, toEnd }) => ({
        letters: strands.map((id) => letters.get(id)).join('+'),
        enters,
        ends,
        ...(tails ? { tails } : {}),
        ...(ends === 'cut' && tailMm ? { tailMm } : {}),
        ...(fromEnd === undefined && toEnd === undefined
          ? {}
          : { span: [fromEnd ?? 1, toEnd ?? body.warp.ends] as const }),
      })),
      ...(firmerBy === 0 ? {} : fixed ? { firmerByPercent: firmerBy } : { beatPercent: inBeatSteps(firmness) }),
      ...(pick.pauseBeforeMin ? { pauseBeforeMin: pick.pauseBeforeMin } : {}),
    };
  });
  return {
    wefts: [...letters].map(([yarnId, letter]) => ({ letter, yarnId })),
    items: comesAgain(picks, again),
  };
}

/** Per cent, to the nearest step. */
function inBeatSteps(firmness: number): number {
  return BEAT_STEP_PERCENT * Math.round((100 * firmness) / BEAT_STEP_PERCENT);
}

/** A to Z, then A2 to Z2 and so on. */
function letterOf(at: number): string {
  const round = Math.floor(at / 26);
  return String.fromCharCode(65 + (at % 26)) + (round === 0 ? '' : String(round + 1));
}
