import { checkSameLength, checkShafts, checkThreading } from '#engine/draft/checkDraft.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import type { LiftPlan, Threading } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { popcount32 } from '#engine/draft/shaftSet.ts';
import { transpose } from '#engine/draft/transformDrawdown.ts';
import type { LoomFit } from './fitTypes.ts';
import { countShafts } from './shaftCounts.ts';

/**
 * The lift plan that weaves a drawdown on a warp already threaded with the fewest crossings changed. Each shaft at each
 * pick is decided by itself, by what most of its ends ask for, so the fit is exact; where as many ask for one as for the
 * other, the shaft stays down, which is the lighter lift. Ends on no shaft stay down.
 * @param shafts of the loom, 1..64.
 * @throws DraftError where the threading names a shaft that is not there, or has another number of ends.
 */
export function fitToThreading(drawdown: Drawdown, threading: Threading, shafts: number): LoomFit {
  checkFit(drawdown, threading, shafts);
  const { carried, wantedUp } = countShafts(drawdown, threading, shafts);
  const liftPlan: LiftPlan = new Uint32Array(2 * drawdown.rows);
  for (let row = 0; row < drawdown.rows; row++) {
    for (let shaft = 0; shaft < shafts; shaft++) {
      if (2 * wantedUp[row * shafts + shaft] > carried[shaft]) liftPlan[2 * row + (shaft >>> 5)] |= 1 << (shaft & 31);
    }
  }
  return fitOf(drawdown, threading, liftPlan);
}

/** @throws DraftError where warp and drawdown do not go together at all. */
export function checkFit(drawdown: Drawdown, threading: Threading, shafts: number): void {
  checkShafts(shafts);
  checkThreading(threading, shafts);
  checkSameLength({ what: 'warp', length: threading.length }, { what: 'design', length: drawdown.ends }, 'end');
}

/** What a lift plan weaves on a threading, and where it differs from what was asked for. */
export function fitOf(drawdown: Drawdown, threading: Threading, liftPlan: LiftPlan, leastChanged?: number): LoomFit {
  const woven = computeDrawdown(threading, liftPlan);
  const differing: Drawdown = { ...woven, bits: woven.bits.map((word, at) => word ^ drawdown.bits[at]) };
  const changedPerPick = onesPerRow(differing);
  const changed = changedPerPick.reduce((sum, count) => sum + count, 0);
  return {
    liftPlan,
    woven,
    changed,
    changedPerPick,
    changedPerEnd: changed === 0 ? new Uint32Array(drawdown.ends) : onesPerRow(transpose(differing)),
    leastChanged: leastChanged ?? changed,
  };
}

function onesPerRow({ rows, wordsPerRow: width, bits }: Drawdown): Uint32Array {
  const counts = new Uint32Array(rows);
  for (let row = 0; row < rows; row++) {
    let sum = 0;
    for (let word = row * width; word < (row + 1) * width; word++) if (bits[word] !== 0) sum += popcount32(bits[word]);
    counts[row] = sum;
  }
  return counts;
}
