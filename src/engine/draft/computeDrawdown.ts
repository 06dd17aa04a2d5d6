import { DraftError } from './draftError.ts';
import type { LiftPlan, Threading, TieUp, Treadling } from './draftTypes.ts';
import { createDrawdown, type Drawdown } from './drawdown.ts';
import { liftPlanFromTieUp } from './liftPlan.ts';
import { MOST_SHAFTS, setCount } from './shaftSet.ts';

const BYTES_A_LIFT = MOST_SHAFTS / 8;

/**
 * The drawdown of a threading under a lift plan. An end on no shaft stays down.
 * A lift is read a byte (8 shafts) at a time: the union of every combination of 8 shafts' ends is made once, so that a
 * new lift costs at most 8 row unions, and a lift met before one row copy.
 * @throws DraftError where an end is drawn on a shaft above 64 or the lift plan's words are not in pairs.
 */
export function computeDrawdown(threading: Threading, liftPlan: LiftPlan): Drawdown {
  const picks = setCount(liftPlan);
  const drawdown = createDrawdown(picks, threading.length);
  const width = drawdown.wordsPerRow;
  const unions = unionsByByte(threading, width);
  // Signed views: the same bits, without the detour through floating point that unsigned words take.
  const bits = new Int32Array(drawdown.bits.buffer);
  const seen = createLiftTable(picks);

  for (let pick = 0; pick < picks; pick++) {
    const low = liftPlan[2 * pick] | 0;
    const high = liftPlan[2 * pick + 1] | 0;
    const start = pick * width;
    const first = seen(low, high, pick, liftPlan);
    if (first < pick) {
      bits.copyWithin(start, first * width, (first + 1) * width);
      continue;
    }
    for (let group = 0; group < BYTES_A_LIFT; group++) {
      const table = unions[group];
      const byte = ((group < 4 ? low : high) >>> (8 * (group & 3))) & 255;
      if (table === undefined || byte === 0) continue;
      const offset = byte * width;
      for (let word = 0; word < width; word++) bits[start + word] |= table[offset + word];
    }
  }
  return drawdown;
}

/** The drawdown of a treadled draft: tie-up and treadling give the lifts. Errors as for its two steps. */
export function computeTreadledDrawdown(threading: Threading, tieUp: TieUp, treadling: Treadling): Drawdown {
  return computeDrawdown(threading, liftPlanFromTieUp(tieUp, treadling));
}

/** Per byte of a lift: 256 rows of ends, row b the union of the shafts whose bits are set in b; undefined where no end is. */
function unionsByByte(threading: Threading, width: number): (Int32Array | undefined)[] {
  const unions: (Int32Array | undefined)[] = new Array(BYTES_A_LIFT).fill(undefined);
  for (let end = 0; end < threading.length; end++) {
    const shaft = threading[end];
    if (shaft === 0) continue;
    if (shaft > MOST_SHAFTS) {
      throw new DraftError(
        'shaft-out-of-range',
        { part: 'end', at: end + 1 },
        `End ${end + 1} is drawn on shaft ${shaft}; at most ${MOST_SHAFTS} shafts can be used. Redraw the end.`,
      );
    }
    const group = (shaft - 1) >>> 3;
    unions[group] ??= new Int32Array(256 * width);
    const table = unions[group];
    table[(1 << ((shaft - 1) & 7)) * width + (end >>> 5)] |= 1 << (end & 31);
  }
  for (const table of unions) {
    if (table === undefined) continue;
    for (let byte = 1; byte < 256; byte++) {
      const rest = byte & (byte - 1);
      if (rest === 0) continue;
      const lowest = byte & -byte;
      for (let word = 0; word < width; word++) {
        table[byte * width + word] = table[rest * width + word] | table[lowest * width + word];
      }
    }
  }
  return unions;
}

/** Open-addressed table of lifts: answers the first pick with the same lift, or this pick if there is none before. */
function createLiftTable(picks: number): (low: number, high: number, pick: number, plan: LiftPlan) => number {
  const size = 1 << (33 - Math.clz32(Math.max(picks, 4)));
  const slots = new Int32Array(size).fill(-1);
  return (low, high, pick, plan) => {
    let slot = (Math.imul(low, 0x9e3779b1) ^ Math.imul(high ^ (low >>> 15), 0x85ebca6b)) >>> 0;
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
