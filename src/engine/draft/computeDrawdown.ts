import { DraftError } from './draftError.ts';
import type { LiftPlan, Threading, TieUp, Treadling } from './draftTypes.ts';
import { createDrawdown, type Drawdown } from './drawdown.ts';
import { liftPlanFromTieUp } from './liftPlan.ts';
import { MOST_SHAFTS, setCount } from './shaftSet.ts';

const BYTES_A_LIFT = MOST_SHAFTS / 8;

/**
 * The drawdown of a threading under a lift plan. An end on no shaft stays down.
 * A lift is read a byte (8 shafts) at a time: the union of every combination of 8 shafts' ends is made once, so that a
 * new lift costs at most 8 reads a word of the row, and a lift met before one.
 * @throws DraftError where an end is drawn on a shaft above 64 or the lift plan's words are not in pairs.
 */
export function computeDrawdown(threading: Threading, liftPlan: LiftPlan): Drawdown {
  const picks = setCount(liftPlan);
  const drawdown = createDrawdown(picks, threading.length);
  const width = drawdown.wordsPerRow;
  const { unions, usesHigh } = unionsByByte(threading, width);
  // Signed views: the same bits, without the detour through floating point that unsigned words take.
  const bits = new Int32Array(drawdown.bits.buffer);
  const firstWithLift = createLiftTable(liftPlan);

  for (let pick = 0; pick < picks; pick++) {
    const start = pick * width;
    const first = firstWithLift(pick);
    if (first < pick) {
      // A plain loop: in browsers copyWithin costs more than a row of a few hundred words.
      const from = first * width;
      for (let word = 0; word < width; word++) bits[start + word] = bits[from + word];
      continue;
    }
    uniteFour(bits, start, width, unions, 0, liftPlan[2 * pick] | 0);
    if (usesHigh) uniteFour(bits, start, width, unions, 4, liftPlan[2 * pick + 1] | 0);
  }
  return drawdown;
}

/** Adds to a row the ends that 32 shafts of a lift raise: the unions of its four bytes, groups `group` to `group + 3`. */
function uniteFour(bits: Int32Array, start: number, width: number, unions: Int32Array, group: number, lift: number) {
  if (lift === 0) return;
  const a = (256 * group + (lift & 255)) * width;
  const b = (256 * (group + 1) + ((lift >>> 8) & 255)) * width;
  const c = (256 * (group + 2) + ((lift >>> 16) & 255)) * width;
  const d = (256 * (group + 3) + (lift >>> 24)) * width;
  for (let word = 0; word < width; word++) {
    bits[start + word] |= unions[a + word] | unions[b + word] | unions[c + word] | unions[d + word];
  }
}

/** The drawdown of a treadled draft: tie-up and treadling give the lifts. Errors as for its two steps. */
export function computeTreadledDrawdown(threading: Threading, tieUp: TieUp, treadling: Treadling): Drawdown {
  return computeDrawdown(threading, liftPlanFromTieUp(tieUp, treadling));
}

/**
 * Rows of ends, `width` words each, at (256 · group + byte) · width: the union of the shafts whose bits are set in a byte,
 * group 0 being shafts 1..8. Groups without ends stay 0; those above shaft 32 are there only where used.
 */
function unionsByByte(threading: Threading, width: number): { unions: Int32Array; usesHigh: boolean } {
  let highest = 0;
  for (let end = 0; end < threading.length; end++) {
    if (threading[end] > highest) highest = threading[end];
    if (highest > MOST_SHAFTS) {
      throw new DraftError(
        'shaft-out-of-range',
        { part: 'end', at: end + 1 },
        `End ${end + 1} is drawn on shaft ${highest}; at most ${MOST_SHAFTS} shafts can be used. Redraw the end.`,
      );
    }
  }
  const usesHigh = highest > 32;
  const unions = new Int32Array(256 * (usesHigh ? BYTES_A_LIFT : BYTES_A_LIFT / 2) * width);
  for (let end = 0; end < threading.length; end++) {
    const shaft = threading[end] - 1;
    if (shaft < 0) continue;
    unions[(256 * (shaft >>> 3) + (1 << (shaft & 7))) * width + (end >>> 5)] |= 1 << (end & 31);
  }
  const groups = (highest + 7) >>> 3;
  for (let group = 0; group < groups; group++) {
    const base = 256 * group * width;
    for (let byte = 1; byte < 256; byte++) {
      const rest = byte & (byte - 1);
      if (rest === 0) continue;
      const to = base + byte * width;
      const a = base + rest * width;
      const b = base + (byte & -byte) * width;
      for (let word = 0; word < width; word++) unions[to + word] = unions[a + word] | unions[b + word];
    }
  }
  return { unions, usesHigh };
}

/** Open-addressed table of lifts: answers the first pick with the same lift, or this pick if there is none before. */
function createLiftTable(plan: LiftPlan): (pick: number) => number {
  const size = 1 << (33 - Math.clz32(Math.max(plan.length >>> 1, 4)));
  const slots = new Int32Array(size).fill(-1);
  return (pick) => {
    const low = plan[2 * pick] | 0;
    const high = plan[2 * pick + 1] | 0;
    let slot = Math.imul(low, 0x9e3779b1) ^ Math.imul(high ^ (low >>> 15), 0x85ebca6b);
    slot = (slot ^ (slot >>> 15)) & (size - 1);
    while (slots[slot] >= 0) {
      const other = slots[slot];
      if ((plan[2 * other] | 0) === low && (plan[2 * other + 1] | 0) === high) return other;
      slot = (slot + 1) & (size - 1);
    }
    slots[slot] = pick;
    return pick;
  };
}
