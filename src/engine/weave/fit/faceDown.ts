import type { LiftPlan, Threading } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { invertLifts } from '#engine/draft/liftPlan.ts';
import { popcount32, setCount } from '#engine/draft/shaftSet.ts';
import { reverseEnds, sameDrawdown } from '#engine/draft/transformDrawdown.ts';

/** Shafts that rise, empty ones left out. */
export interface LiftWeight {
  readonly mean: number;
  readonly most: number;
  /** First pick, from 0, that lifts the most. */
  readonly mostAt: number;
}

export interface FaceDown {
  /** With the face uppermost on the loom, and with the back. */
  readonly faceUp: LiftWeight;
  readonly faceDown: LiftWeight;
  /** Which side uppermost lifts fewer shafts in all. */
  readonly lighter: 'faceUp' | 'faceDown' | 'alike';
  /** The same cloth woven back uppermost: opposite lifts, last pick first; turned over top to bottom, it is the face as drawn. */
  readonly liftPlan: LiftPlan;
  /** Whether opposite lifts in their own order would do as well, since the cloth is its own mirror image across. */
  readonly sameMirrored: boolean;
}

/**
 * What weaving a cloth face down asks for. Opposite lifts in their own order give the face mirrored left to right; with the
 * picks turned round too, the cloth is laid right by turning it over its top edge, on any threading.
 * @throws DraftError where a lift names a shaft that is not there.
 */
export function weaveFaceDown(drawdown: Drawdown, liftPlan: LiftPlan, threading: Threading, shafts: number): FaceDown {
  const opposite = invertLifts(liftPlan, shafts);
  const faceUp = liftWeight(liftPlan, threading);
  const faceDown = liftWeight(opposite, threading);
  const lighter = faceUp.mean === faceDown.mean ? 'alike' : faceUp.mean < faceDown.mean ? 'faceUp' : 'faceDown';
  return {
    faceUp,
    faceDown,
    lighter,
    liftPlan: lastFirst(opposite),
    sameMirrored: sameDrawdown(drawdown, reverseEnds(drawdown)),
  };
}

function liftWeight(liftPlan: LiftPlan, threading: Threading): LiftWeight {
  const used = new Uint32Array(2);
  for (const shaft of threading) if (shaft > 0) used[(shaft - 1) >>> 5] |= 1 << ((shaft - 1) & 31);
  const picks = setCount(liftPlan);
  let sum = 0;
  let most = 0;
  let mostAt = 0;
  for (let pick = 0; pick < picks; pick++) {
    const count = popcount32(liftPlan[2 * pick] & used[0]) + popcount32(liftPlan[2 * pick + 1] & used[1]);
    sum += count;
    if (count <= most) continue;
    most = count;
    mostAt = pick;
  }
  return { mean: picks === 0 ? 0 : sum / picks, most, mostAt };
}

function lastFirst(liftPlan: LiftPlan): LiftPlan {
  const picks = setCount(liftPlan);
  const turned = new Uint32Array(liftPlan.length);
  for (let pick = 0; pick < picks; pick++)
    turned.set(liftPlan.subarray(2 * pick, 2 * pick + 2), 2 * (picks - 1 - pick));
  return turned;
}
