import { checkSets, checkShafts, checkTreadling } from './checkDraft.ts';
import { DraftError } from './draftError.ts';
import type { LiftPlan, TieUp, Treadling } from './draftTypes.ts';
import { allShafts, MOST_SHAFTS, type SetWords, setCount, setMember, setsFromLists } from './shaftSet.ts';

/**
 * A lift plan from the shafts raised at each pick.
 * @throws DraftError naming the first pick that lifts a shaft the loom does not have.
 */
export function liftPlanFromShafts(lifts: readonly (readonly number[])[], shafts: number = MOST_SHAFTS): LiftPlan {
  checkShafts(shafts);
  return setsFromLists(lifts, shafts, 'shaft', 'pick');
}

/**
 * A tie-up from the shafts tied to each treadle.
 * @throws DraftError naming the first treadle tied to a shaft the loom does not have.
 */
export function tieUpFromShafts(ties: readonly (readonly number[])[], shafts: number, shed: TieUp['shed']): TieUp {
  checkShafts(shafts);
  return { shafts, shed, treadles: setsFromLists(ties, shafts, 'shaft', 'treadle') };
}

/**
 * The lifts that pressing treadles makes. Rising: the union of the pressed treadles' shafts goes up.
 * Sinking: that union goes down and every other shaft of the loom is up.
 * @throws DraftError where a tie or a treadle is not there.
 */
export function liftPlanFromTieUp(tieUp: TieUp, treadling: Treadling): LiftPlan {
  checkTreadling(tieUp, treadling);
  const picks = setCount(treadling);
  const plan: SetWords = new Uint32Array(2 * picks);
  const ties = tieUp.treadles;
  for (let pick = 0; pick < picks; pick++) {
    let low = 0;
    let high = 0;
    for (let half = 0; half < 2; half++) {
      let rest = treadling[2 * pick + half] | 0;
      while (rest !== 0) {
        const treadle = half * 32 + 31 - Math.clz32(rest & -rest);
        low |= ties[2 * treadle];
        high |= ties[2 * treadle + 1];
        rest &= rest - 1;
      }
    }
    plan[2 * pick] = low;
    plan[2 * pick + 1] = high;
  }
  return tieUp.shed === 'rising' ? plan : invertLifts(plan, tieUp.shafts);
}

/** Every shaft of the loom the other way: what was up is down. Woven so, face and back change places. */
export function invertLifts(liftPlan: LiftPlan, shafts: number): LiftPlan {
  checkShafts(shafts);
  checkSets(liftPlan, shafts, 'shaft', 'pick');
  const { low, high } = allShafts(shafts);
  return liftPlan.map((word, index) => ~word & (index % 2 === 0 ? low : high));
}

/**
 * A tie-up with one treadle for each distinct lift, in order of first use, and the treadling that uses it.
 * @throws DraftError at the pick that would need a treadle beyond `mostTreadles` (1..64).
 */
export function tieUpFromLiftPlan(
  liftPlan: LiftPlan,
  shafts: number,
  shed: TieUp['shed'] = 'rising',
  mostTreadles: number = MOST_SHAFTS,
): { tieUp: TieUp; treadling: Treadling } {
  checkShafts(shafts);
  checkSets(liftPlan, shafts, 'shaft', 'pick');
  const tied = shed === 'rising' ? liftPlan : invertLifts(liftPlan, shafts);
  const most = Math.min(mostTreadles, MOST_SHAFTS);
  const picks = setCount(tied);
  const treadling = new Uint32Array(2 * picks);
  const ties: number[] = [];
  for (let pick = 0; pick < picks; pick++) {
    const low = tied[2 * pick];
    const high = tied[2 * pick + 1];
    let index = 0;
    while (index < ties.length && (ties[index] !== low || ties[index + 1] !== high)) index += 2;
    if (index === ties.length) {
      if (index / 2 >= most) {
        throw new DraftError(
          'too-many-treadles',
          { part: 'pick', at: pick + 1 },
          `Pick ${pick + 1} needs a treadle of its own beyond the ${most} there are. ` +
            'Use fewer distinct lifts, press treadles together, or weave it on direct lift.',
        );
      }
      ties.push(low, high);
    }
    setMember(treadling, pick, index / 2 + 1, true);
  }
  return { tieUp: { shafts, shed, treadles: Uint32Array.from(ties) }, treadling };
}
