import type { LiftPlan } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';

/** The nearest that a loom can weave to a drawdown that was asked for. */
export interface LoomFit {
  /** Shafts raised at each pick. */
  readonly liftPlan: LiftPlan;
  /** What those lifts weave. */
  readonly woven: Drawdown;
  /** Crossings of the drawdown that come out the other way: 0 where it can be woven as it is. */
  readonly changed: number;
  /** Crossings changed on each end and on each pick: those above 0 stand in the way. */
  readonly changedPerEnd: Uint32Array;
  readonly changedPerPick: Uint32Array;
  /** No plan changes fewer crossings than this; equal to `changed` where the fit is known to be the best. */
  readonly leastChanged: number;
}
