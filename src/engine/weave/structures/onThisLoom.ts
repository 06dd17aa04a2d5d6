import { distinctEnds, distinctPicks } from '#engine/draft/distinct.ts';
import type { Threading, TieUp } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { smallestWholePeriod } from '#engine/draft/repeats.ts';
import { cycle, tile } from '#engine/draft/transformDrawdown.ts';
import { fitToThreading } from '#engine/weave/fit/fitThreading.ts';
import { fitToTieUp } from '#engine/weave/fit/fitTieUp.ts';
import type { LoomFit } from '#engine/weave/fit/fitTypes.ts';
import { endlessThreads } from '#engine/weave/floats.ts';
import { layersOf } from '#engine/weave/layers.ts';
import type { Structure } from './structureTypes.ts';

/** A loom as it is warped. */
export interface WarpedLoom {
  readonly shafts: number;
  readonly threading: Threading;
  /** Where treadles are tied: the tie-up stays with the warp. */
  readonly tieUp?: TieUp;
}

export interface Standing {
  /** `here`: woven as it is; `nearest`: with crossings changed; `cannot`: what comes out is another cloth. */
  readonly kind: 'here' | 'nearest' | 'cannot';
  /** Why not, where it cannot. */
  readonly why?: string;
  /** Crossings changed over one repeat of picks and the whole width, and how many there are. */
  readonly changed: number;
  readonly crossings: number;
  /** What these lifts weave, one repeat of picks over the whole warp. */
  readonly fit: LoomFit & { readonly treadling?: Uint32Array };
  /** With which end of its repeat the structure begins at the left edge, from 0. */
  readonly beginsAt: number;
  /** Shafts and lifts that it takes on a warp threaded for it. */
  readonly shaftsNeeded: number;
  readonly liftsNeeded: number;
}

/** Above this share of crossings changed nobody would call it that structure (chosen; unlike twills of four differ in a half). */
const MOST_CHANGED = 0.2;
/** Beginnings that are tried, at most: repeats of more ends are tried at so many, evenly spread. */
const MOST_BEGINNINGS = 64;

/**
 * Whether a warped loom weaves a structure: for each end at which its repeat may begin, the lifts that change the fewest
 * crossings (exact but for more than 12 treadles); of those the best. The nearest must still be such a cloth: of as many
 * layers, every thread interlacing.
 */
export function standingOn(loom: WarpedLoom, structure: Structure): Standing {
  const { drawdown } = structure;
  const ends = loom.threading.length;
  const beginnings = Math.min(drawdown.ends, MOST_BEGINNINGS);
  let best: { fit: Standing['fit']; beginsAt: number } | undefined;
  for (let k = 0; k < beginnings; k++) {
    const beginsAt = Math.floor((k * drawdown.ends) / beginnings);
    const wanted = tile(cycle(drawdown, 0, beginsAt), drawdown.rows, ends);
    const fit = loom.tieUp
      ? fitToTieUp(wanted, loom.threading, loom.tieUp, { treadlesAtOnce: 'any', withinMs: 20 })
      : fitToThreading(wanted, loom.threading, loom.shafts);
    if (!best || fit.changed < best.fit.changed) best = { fit, beginsAt };
    if (fit.changed === 0) break;
  }
  if (!best) throw new Error('A structure without ends.');
  const { fit, beginsAt } = best;
  const crossings = drawdown.rows * ends;
  const why = fit.changed === 0 ? undefined : notThatCloth(fit.woven, structure, fit.changed / crossings);
  return {
    kind: fit.changed === 0 ? 'here' : why === undefined ? 'nearest' : 'cannot',
    ...(why === undefined ? {} : { why }),
    changed: fit.changed,
    crossings,
    fit,
    beginsAt,
    shaftsNeeded: distinctEnds(drawdown).firstOf.length,
    liftsNeeded: distinctPicks(drawdown).firstOf.length,
  };
}

function notThatCloth(woven: Drawdown, { layers }: Structure, share: number): string | undefined {
  if (endlessThreads(woven) > 0) return 'some threads would lie loose, over or under all others';
  const { count } = layersOf(woven);
  if (count !== layers)
    return count > layers ? `it would fall into ${count} layers` : `its ${layers} layers would be one`;
  return share > MOST_CHANGED ? `${Math.round(100 * share)} % of the crossings would differ` : undefined;
}

/** How finely an edge between two structures can be placed on a threading. */
export interface EdgeStep {
  /** The smallest step, ends; 1 where every end of the draw moves by itself. */
  readonly ends: number;
  /** Where the draw comes round, ends; 0: nowhere. What is done at an edge happens in every repeat. */
  readonly everyEnds: number;
}

/** Shafts that go on over more of the warp than this carry its ground or ties and are no blocks. */
const GROUND_SHARE = 0.6;

/**
 * Where the blocks of a draw begin, from end 0: edges can lie only there, since the ends of a block share its shafts. Shafts
 * that the whole warp shares (ties, ground) do not tell blocks apart; empty where all are such, as in straight draws.
 */
export function blockStarts({ shafts, threading }: WarpedLoom): number[] {
  const runs: { from: number; to: number }[] = [];
  for (let shaft = 1; shaft <= shafts; shaft++) {
    const places = Array.from(threading.keys()).filter((end) => threading[end] === shaft);
    const gaps = places.slice(1).map((end, k) => end - places[k]);
    // Within a block a shaft comes again and again; between blocks it is missed at least once.
    const within = 2 * Math.min(...gaps);
    const own: { from: number; to: number }[] = [];
    for (const end of places) {
      const last = own.at(-1);
      if (last && end - last.to < within) last.to = end;
      else own.push({ from: end, to: end });
    }
    if (own.some(({ from, to }) => to - from + 1 > GROUND_SHARE * threading.length)) continue;
    runs.push(...own);
  }
  runs.sort((a, b) => a.from - b.from);
  const starts: number[] = [];
  let reached = -1;
  for (const { from, to } of runs) {
    if (from > reached) starts.push(from);
    reached = Math.max(reached, to);
  }
  return starts;
}

/** Smallest step of an edge: the narrowest block, or one end where any end can begin something else. */
export function edgeStep(loom: WarpedLoom): EdgeStep {
  const starts = blockStarts(loom);
  const steps = starts.slice(1).map((start, k) => start - starts[k]);
  const period = smallestWholePeriod(loom.threading);
  return { ends: steps.length > 0 ? Math.min(...steps) : 1, everyEnds: period < loom.threading.length ? period : 0 };
}
