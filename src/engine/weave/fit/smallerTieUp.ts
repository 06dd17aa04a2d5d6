import { checkSets, checkShafts } from '#engine/draft/checkDraft.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import type { LiftPlan, TieUp, Treadling } from '#engine/draft/draftTypes.ts';
import { invertLifts } from '#engine/draft/liftPlan.ts';
import { MOST_SHAFTS, setCount, setMember } from '#engine/draft/shaftSet.ts';
import { distinctSets, type ShaftSets } from './distinctSets.ts';
import { fewestTreadles } from './fewestTreadles.ts';
import { type Cover, coverWith } from './pressTogether.ts';

export interface SmallerTieUp {
  readonly tieUp: TieUp;
  readonly treadling: Treadling;
  /** No tie-up for these lifts has fewer treadles than this. */
  readonly fewest: number;
}

export interface SmallerTieUpOptions {
  readonly shed?: TieUp['shed'];
  /** Treadles that can be pressed together; 2 for two feet (common practice). */
  readonly pressedAtOnce?: number;
}

/** More different lifts than this are not looked through: their tie-up would outgrow any treadle loom. */
const MOST_LIFTS = 300;
/** Candidates for a treadle beside the lifts themselves. */
const MOST_CANDIDATES = 400;

/**
 * A tie-up of few treadles for a lift plan, several being pressed together. The fewest possible is the set basis problem
 * (L. J. Stockmeyer 1975, IBM Research Report RC-5431, NP-complete; from memory), so this is a heuristic: begin with the
 * lifts, what two of them share and the groups of shafts that always move together; leave out one candidate after the
 * other, once the largest first and once the least used first, while every lift can still be pressed. `fewest` bounds
 * what it misses.
 * @throws DraftError where a lift is not the loom's, or there are more than 300 different lifts or 64 treadles.
 */
export function smallerTieUp(liftPlan: LiftPlan, shafts: number, options: SmallerTieUpOptions = {}): SmallerTieUp {
  const { shed = 'rising', pressedAtOnce = 2 } = options;
  checkShafts(shafts);
  checkSets(liftPlan, shafts, 'shaft', 'pick');
  const tied = shed === 'rising' ? liftPlan : invertLifts(liftPlan, shafts);
  const { sets: lifts, setOf } = distinctSets(tied);
  if (lifts.length > MOST_LIFTS) {
    throw new DraftError(
      'too-many-treadles',
      { part: 'whole', at: 0 },
      `There are ${lifts.length} different lifts, and at most ${MOST_LIFTS} can be tied up. Weave it on direct lift.`,
    );
  }
  const candidates = candidateTreadles(lifts);
  const users = (set: bigint) => lifts.filter((lift) => (set & ~lift) === 0n).length;
  const orders = [
    lifts,
    [...candidates].sort((a, b) => size(b) - size(a)),
    [...candidates].sort((a, b) => users(a) - users(b) || size(b) - size(a)),
  ];
  const kept = orders
    .map((order) => leaveOut(order, lifts, pressedAtOnce))
    .reduce((least, other) => (other.length < least.length ? other : least));
  if (kept.length > MOST_SHAFTS) {
    throw new DraftError(
      'too-many-treadles',
      { part: 'whole', at: 0 },
      `These lifts need ${kept.length} treadles, and at most ${MOST_SHAFTS} can be used. Weave it on direct lift.`,
    );
  }
  const treadles = new Uint32Array(2 * kept.length);
  kept.forEach((set, k) => {
    treadles[2 * k] = Number(set & 0xffffffffn);
    treadles[2 * k + 1] = Number(set >> 32n);
  });
  const presses: Cover[] = lifts.map((lift) => coverWith(lift, kept, pressedAtOnce) ?? []);
  const treadling = new Uint32Array(liftPlan.length);
  for (let pick = 0; pick < setCount(liftPlan); pick++) {
    const lift = setOf[pick];
    if (lift >= 0) for (const treadle of presses[lift]) setMember(treadling, pick, treadle + 1, true);
  }
  return { tieUp: { shafts, shed, treadles }, treadling, fewest: fewestTreadles(lifts, pressedAtOnce) };
}

/** The lifts, what two of them share, and the groups of shafts that always move together. */
function candidateTreadles(lifts: ShaftSets): ShaftSets {
  const candidates = new Set(lifts);
  for (const atom of movingTogether(lifts)) candidates.add(atom);
  for (let i = 0; i < lifts.length; i++) {
    for (let j = 0; j < i && candidates.size < MOST_CANDIDATES; j++) {
      const shared = lifts[i] & lifts[j];
      if (shared !== 0n) candidates.add(shared);
    }
  }
  return [...candidates];
}

function movingTogether(lifts: ShaftSets): bigint[] {
  let groups = [lifts.reduce((all, lift) => all | lift, 0n)];
  for (const lift of lifts)
    groups = groups.flatMap((group) => [group & lift, group & ~lift]).filter((each) => each !== 0n);
  return groups;
}

/** Candidates left out in this order, one at a time, while every lift can still be pressed. */
function leaveOut(order: ShaftSets, lifts: ShaftSets, most: number): bigint[] {
  let kept = [...order];
  for (const candidate of order) {
    const fewer = kept.filter((each) => each !== candidate);
    const touched = lifts.filter((lift) => (candidate & ~lift) === 0n);
    if (touched.every((lift) => coverWith(lift, fewer, most) !== undefined)) kept = fewer;
  }
  return kept;
}

function size(set: bigint): number {
  let count = 0;
  for (let rest = set; rest !== 0n; rest &= rest - 1n) count++;
  return count;
}
