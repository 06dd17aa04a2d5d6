import type { TreadledBy } from '#engine/draft/draftRemarks.ts';
import type { LiftPlan } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { liftPlanFromTieUp } from '#engine/draft/liftPlan.ts';
import { holdEnd, holdShaft, skipEnd } from '#engine/weave/faults/threadFaults.ts';
import type { SampleBody } from './schema/sampleSchema.ts';

/** The lifts as this loom makes them: its known faults hold shafts where they are, and treadles that move nothing lift nothing. */
export function liftsOnLoom({ loom }: SampleBody, liftPlan: LiftPlan, treadled: TreadledBy | undefined): LiftPlan {
  const faults = (loom.knownFaults ?? []).filter(({ effect }) => effect !== undefined);
  if (faults.length === 0) return liftPlan;
  let lifts = liftPlan;
  const dead = faults.flatMap(({ treadle, effect }) => (effect === 'movesNothing' && treadle ? [treadle] : []));
  if (treadled && dead.length > 0) {
    const { tieUp, treadling } = treadled;
    const treadles = tieUp.treadles.slice();
    for (const treadle of dead) treadles.fill(0, 2 * treadle - 2, 2 * treadle);
    lifts = liftPlanFromTieUp({ ...tieUp, treadles }, treadling);
  }
  for (const { shaft, effect } of faults) {
    if (shaft !== undefined) lifts = holdShaft(lifts, shaft, effect === 'staysUp');
  }
  return lifts;
}

/** The drawdown with the loom's faulty healds and what went wrong in weaving; changed in place. */
export function withCrossingFaults(
  { loom, faults, warp }: SampleBody,
  drawdown: Drawdown,
  rowPick: Uint32Array,
): Drawdown {
  for (const { end, effect } of loom.knownFaults ?? []) {
    if (end === undefined || end > warp.ends || effect === undefined) continue;
    holdEnd(drawdown, 0, drawdown.rows - 1, end - 1, effect === 'staysUp');
  }
  for (const fault of faults ?? []) {
    if (fault.kind === 'skippedEnd') skipEnd(drawdown, rowsOf(rowPick, fault.pick, fault.pick), fault.end - 1);
    else {
      const rows = rowsOf(rowPick, fault.fromPick, fault.toPick ?? Number.POSITIVE_INFINITY);
      if (rows.length > 0) holdEnd(drawdown, rows[0], rows[rows.length - 1], fault.end - 1, false);
    }
  }
  return drawdown;
}

/** Rows of picks counted from 1, both included. */
function rowsOf(rowPick: Uint32Array, fromPick: number, toPick: number): number[] {
  return Array.from(rowPick.keys()).filter((row) => rowPick[row] + 1 >= fromPick && rowPick[row] + 1 <= toPick);
}
