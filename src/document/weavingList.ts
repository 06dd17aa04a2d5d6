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

/** Picks woven in turn, so many times, within a part. */
export interface ListedRound {
  /** The first pick of it, 1-based. */
  readonly fromPick: number;
  readonly picks: readonly ListedPick[];
  readonly times: number;
}

/** Picks that are woven in turn, so many times. */
export interface ListedPart extends ListedRound {
  /** The same picks, with rounds within the round written once too; one that repeats nothing where there are none. */
  readonly rounds: readonly ListedRound[];
}

export interface WeavingList {
  /** Wefts by their letters, in the order in which they are first laid. */
  readonly wefts: readonly { readonly letter: string; readonly yarnId: string }[];
  readonly parts: readonly ListedPart[];
}

/** A hand at the loom keeps no longer round in mind (chosen). */
const LONGEST_ROUND = 64;
/** A repeat that spares fewer lines than this is written out instead (chosen). */
const LEAST_SPARED = 4;
/** Beats are told in steps a hand can tell apart, per cent of the firmest (chosen). */
const BEAT_STEP_PERCENT = 5;

/**
 * The picks as they are woven, first pick first; picks that come again, with the same lift, wefts, sides and beat, are
 * written once and how often they are woven.
 */
export function weavingList(body: SampleBody): WeavingList {
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
    parts: roundsOf(picks, 1).map((part) => ({ ...part, rounds: withinRound(part) })),
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

/** At each place the round that spares the most lines, the shortest of those; what repeats nowhere is written out. */
function roundsOf(picks: readonly ListedPick[], firstPick: number): ListedRound[] {
  const known = new Map<string, number>();
  const kinds = picks.map((pick) => {
    const key = JSON.stringify(pick);
    const kind = known.get(key) ?? known.size;
    known.set(key, kind);
    return kind;
  });
  const parts: ListedRound[] = [];
  let writtenFrom = 0;
  const writeOut = (to: number) => {
    if (to > writtenFrom)
      parts.push({ fromPick: firstPick + writtenFrom, picks: picks.slice(writtenFrom, to), times: 1 });
  };
  for (let at = 0; at < picks.length; ) {
    const { round, times } = bestRound(kinds, at);
    if (times > 1) {
      writeOut(at);
      parts.push({ fromPick: firstPick + at, picks: picks.slice(at, at + round), times });
      at += round * times;
      writtenFrom = at;
    } else at++;
  }
  writeOut(picks.length);
  return parts;
}

function withinRound({ fromPick, picks, times }: ListedRound): readonly ListedRound[] {
  return times > 1 ? roundsOf(picks, fromPick) : [{ fromPick, picks, times: 1 }];
}

function bestRound(kinds: readonly number[], from: number): { readonly round: number; readonly times: number } {
  let best = { round: 1, times: 1 };
  let mostSpared = LEAST_SPARED - 1;
  const longest = Math.min(LONGEST_ROUND, Math.floor((kinds.length - from) / 2));
  for (let round = 1; round <= longest; round++) {
    let alike = 0;
    while (from + round + alike < kinds.length && kinds[from + alike] === kinds[from + round + alike]) alike++;
    const times = 1 + Math.floor(alike / round);
    const spared = (times - 1) * round;
    if (spared > mostSpared) {
      best = { round, times };
      mostSpared = spared;
    }
  }
  return best;
}
