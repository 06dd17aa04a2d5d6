import { checkSets } from '#engine/draft/checkDraft.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import type { Threading, TieUp, Treadling } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { liftPlanFromTieUp } from '#engine/draft/liftPlan.ts';
import { MOST_SHAFTS, setCount } from '#engine/draft/shaftSet.ts';
import { checkFit, fitOf } from './fitThreading.ts';
import type { LoomFit } from './fitTypes.ts';
import { countShafts } from './shaftCounts.ts';
import { createTreadleSearch } from './treadleSearch.ts';

export interface TreadledFit extends LoomFit {
  readonly treadling: Treadling;
}

export interface TieUpFitOptions {
  /** One treadle a pick, or as many as are wanted. */
  readonly treadlesAtOnce: 'one' | 'any';
  /** How long to look where there are more than 12 treadles, ms; what then is left open shows as `leastChanged`. */
  readonly withinMs?: number;
  /** Milliseconds from any start. */
  readonly now?: () => number;
}

/** Up to so many treadles every combination is tried. */
const MOST_TRIED = 12;
const USUAL_MS = 1000;

/**
 * The treadling that weaves a drawdown on a fixed threading and tie-up with the fewest crossings changed. A pick may press
 * no treadle at all, as a loom lets it. Exact for one treadle a pick, and for any number of them up to 12 treadles;
 * above that by branch and bound, pick by pick, with what was proved by the end of the time as `leastChanged`.
 * @throws DraftError where threading, tie-up and drawdown do not go together.
 */
export function fitToTieUp(
  drawdown: Drawdown,
  threading: Threading,
  tieUp: TieUp,
  options: TieUpFitOptions,
): TreadledFit {
  const { shafts, treadles, shed } = tieUp;
  checkFit(drawdown, threading, shafts);
  checkSets(treadles, shafts, 'shaft', 'treadle');
  const count = setCount(treadles);
  if (count > MOST_SHAFTS) {
    throw new DraftError(
      'too-many-treadles',
      { part: 'treadle', at: MOST_SHAFTS + 1 },
      `A tie-up here has at most ${MOST_SHAFTS} treadles; ${count} were given.`,
    );
  }
  const { carried, wantedUp, looseUp } = countShafts(drawdown, threading, shafts);
  const now = options.now ?? Date.now;
  const until = now() + (options.withinMs ?? USUAL_MS);
  const search = createTreadleSearch(treadles, shafts, {
    one: options.treadlesAtOnce === 'one',
    everyUpTo: MOST_TRIED,
  });
  const known = new Map<string, { low: number; high: number; leastCost: number }>();
  const treadling: Treadling = new Uint32Array(2 * drawdown.rows);
  // Crossings changed if a treadle's shafts move, over those changed if they do not.
  const weights = new Float64Array(shafts);
  let least = 0;
  for (let row = 0; row < drawdown.rows; row++) {
    let still = looseUp[row];
    for (let shaft = 0; shaft < shafts; shaft++) {
      const up = wantedUp[row * shafts + shaft];
      const moved = shed === 'rising' ? carried[shaft] - up : up;
      weights[shaft] = moved - (carried[shaft] - moved);
      still += carried[shaft] - moved;
    }
    const key = weights.join();
    let found = known.get(key);
    if (!found) {
      // Time is shared out over the picks that are left, so that none starves the rest.
      const left = Math.max(0, until - now());
      const stop = now() + left / (drawdown.rows - row);
      found = search(weights, () => now() < stop);
      known.set(key, found);
    }
    treadling[2 * row] = found.low;
    treadling[2 * row + 1] = found.high;
    least += still + found.leastCost;
  }
  const liftPlan = liftPlanFromTieUp(tieUp, treadling);
  return { ...fitOf(drawdown, threading, liftPlan, least), treadling };
}
