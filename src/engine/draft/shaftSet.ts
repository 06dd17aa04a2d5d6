import { DraftError, type DraftPart, type DraftPlace } from './draftError.ts';

/** Shafts (or treadles) are numbered from 1; a set of them is two 32-bit words, shaft 1 in bit 0 of the first. */
export const MOST_SHAFTS = 64;

/**
 * A list of sets, two words each: words[2 k] holds members 1..32 of set k, words[2 k + 1] members 33..64.
 * Lift plans (a set of shafts a pick), tie-ups (a set of shafts a treadle) and treadlings (a set of treadles a pick)
 * all have this form.
 */
export type SetWords = Uint32Array;

export interface ShaftSet {
  readonly low: number;
  readonly high: number;
}

export function setCount(words: SetWords): number {
  if (words.length % 2 !== 0) {
    throw new DraftError(
      'lengths-differ',
      { part: 'whole', at: 0 },
      `A list of shaft sets needs two words a set; ${words.length} words were given. Give an even number.`,
    );
  }
  return words.length >>> 1;
}

/** Member numbers count from 1; a number outside 1..64 is simply not in the set. */
export function hasMember(words: SetWords, index: number, member: number): boolean {
  if (member < 1 || member > MOST_SHAFTS) return false;
  const bit = member - 1;
  return ((words[2 * index + (bit >>> 5)] >>> (bit & 31)) & 1) === 1;
}

/** Adds or removes a member (1..64) of set `index`. */
export function setMember(words: SetWords, index: number, member: number, present: boolean): void {
  const bit = member - 1;
  const word = 2 * index + (bit >>> 5);
  const mask = 1 << (bit & 31);
  words[word] = present ? words[word] | mask : words[word] & ~mask;
}

/** Members of set `index`, ascending, counted from 1. */
export function listMembers(words: SetWords, index: number): number[] {
  const members: number[] = [];
  for (let half = 0; half < 2; half++) {
    let rest = words[2 * index + half];
    while (rest !== 0) {
      const bit = 31 - Math.clz32(rest & -rest);
      members.push(half * 32 + bit + 1);
      rest &= rest - 1;
    }
  }
  return members;
}

/** Members of every set, as lists: `setsFromLists` reads them back. */
export function listSets(words: SetWords): number[][] {
  return Array.from({ length: setCount(words) }, (_, index) => listMembers(words, index));
}

/**
 * Sets from lists of member numbers, one list a set: a pick's shafts, a treadle's shafts, a pick's treadles.
 * @param most highest number allowed, 1..64.
 * @throws DraftError where a number is not a whole number of 1..most; `listPart` says what the lists stand for.
 */
export function setsFromLists(
  lists: readonly (readonly number[])[],
  most: number = MOST_SHAFTS,
  memberPart: 'shaft' | 'treadle' = 'shaft',
  listPart: DraftPart = 'pick',
): SetWords {
  const words = new Uint32Array(2 * lists.length);
  lists.forEach((list, index) => {
    for (const member of list) {
      checkMember(member, most, memberPart, { part: listPart, at: index + 1 });
      setMember(words, index, member, true);
    }
  });
  return words;
}

function checkMember(member: number, most: number, part: 'shaft' | 'treadle', where: DraftPlace): void {
  if (Number.isInteger(member) && member >= 1 && member <= most) return;
  throw new DraftError(
    part === 'shaft' ? 'shaft-out-of-range' : 'treadle-out-of-range',
    where,
    `${capital(where.part)} ${where.at} names ${part} ${member}; there are ${part}s 1 to ${most}.`,
  );
}

/** The set of shafts 1..count. */
export function allShafts(count: number): ShaftSet {
  return {
    low: count >= 32 ? 0xffffffff : (2 ** count - 1) >>> 0,
    high: count <= 32 ? 0 : (2 ** (count - 32) - 1) >>> 0,
  };
}

/** Number of ones in a 32-bit word. */
export function popcount32(word: number): number {
  let x = word - ((word >>> 1) & 0x55555555);
  x = (x & 0x33333333) + ((x >>> 2) & 0x33333333);
  x = (x + (x >>> 4)) & 0x0f0f0f0f;
  return Math.imul(x, 0x01010101) >>> 24;
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
