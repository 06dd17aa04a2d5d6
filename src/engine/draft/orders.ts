import { DraftError } from './draftError.ts';
import type { LiftPlan, Threading } from './draftTypes.ts';
import { type AtomReader, type Cursor, MOST_VALUES, readNotation } from './parseNotation.ts';
import { listMembers, MOST_SHAFTS, type SetWords, setCount, setsFromLists } from './shaftSet.ts';

const RANGE = /(\d+)(?:\s*[-–]\s*(\d+))?/uy;
const WORD_DRAW = /(straight|point)\s+(?:(\d+)\s*[-–]\s*)?(\d+)/iuy;

/**
 * A threading from notation. Atoms: a shaft "3"; a run of shafts up or down "1-8", "7-2"; "straight 8" (1-8),
 * "point 8" (1-8, 7-2, so that it may be repeated); "0" for an end on no shaft.
 * @throws DraftError 'notation' with the character and what was expected, or 'shaft-out-of-range' with the character.
 */
export function parseThreading(text: string, shafts: number = MOST_SHAFTS): Threading {
  const numbers = readNotation<number>(text, {
    expected: 'a shaft such as 3, a run such as 1-8, or "straight 8" or "point 8"',
    read: (cursor, into) => readDraw(cursor, into, shafts, 'shaft'),
  });
  return Uint8Array.from(numbers);
}

/**
 * Lifts (or treadles) pick by pick from notation. Atoms: sets joined by "+", such as "1+3" or "1-4+7"; "0" for none.
 * @throws DraftError as `parseThreading`.
 */
export function parseLifts(text: string, most: number = MOST_SHAFTS, part: 'shaft' | 'treadle' = 'shaft'): SetWords {
  const lists = readNotation<readonly number[]>(text, {
    expected: `${part}s joined by "+", such as 1+3, or 0 for none`,
    read: (cursor, into) => readSet(cursor, into, most, part),
  });
  return setsFromLists(lists, most, part, 'pick');
}

const TOGETHER = /\d+(?:\s*\+\s*\d+)+/uy;

/**
 * A treadling from notation, mostly one treadle a pick. Atoms: a treadle "3"; treadles in turn "3-10", "10-3"; "straight 8",
 * "point 3-10" as in threadings; treadles pressed together "1+3"; "0" for none.
 * @throws DraftError as `parseThreading`.
 */
export function parseTreadling(text: string, treadles: number): SetWords {
  const lists = readNotation<readonly number[]>(text, {
    expected: 'a treadle such as 3, treadles in turn such as 3-10, "point 3-10", or together such as 1+3',
    read(cursor, into) {
      const before = cursor.at;
      const together = cursor.take(TOGETHER);
      if (together) {
        into.push(together[0].split('+').map((digits) => readMember(digits.trim(), before, treadles, 'treadle')));
        return true;
      }
      const inTurn: number[] = [];
      if (!readDraw(cursor, inTurn, treadles, 'treadle')) return false;
      into.push(...inTurn.map((treadle) => (treadle === 0 ? [] : [treadle])));
      return true;
    },
  });
  return setsFromLists(lists, treadles, 'treadle', 'pick');
}

const COLOUR = /(?:(\d+)\s*)?(?:"([^"]+)"|((?![xX×*]\s*\d+(?![\p{L}\d]))\p{L}[\p{L}\p{N}_./-]*))/uy;

/**
 * A colour order from notation: names, each with a count before it or alone for one thread, "4 red 2 cream x10".
 * Names with spaces stand in double quotes.
 * @throws DraftError 'notation' with the character and what was expected.
 */
export function parseColourOrder(text: string): string[] {
  return readNotation(text, COLOURS);
}

const COLOURS: AtomReader<string> = {
  expected: 'a colour with its number of threads, such as 4 red',
  read(cursor, into) {
    const before = cursor.at;
    const match = cursor.take(COLOUR);
    if (!match) return false;
    const count = match[1] === undefined ? 1 : Number(match[1]);
    if (count < 1) cursor.fail('1 thread or more', before);
    if (count > MOST_VALUES) cursor.fail(`at most ${MOST_VALUES} in all`, before, 'too-long');
    const name = match[2] ?? match[3];
    for (let k = 0; k < count; k++) into.push(name);
    return true;
  },
};

function readDraw(cursor: Cursor, into: number[], most: number, part: 'shaft' | 'treadle'): boolean {
  const before = cursor.at;
  const draw = cursor.take(WORD_DRAW);
  if (draw) {
    const first = draw[2] === undefined ? 1 : readMember(draw[2], before, most, part);
    const last = readMember(draw[3], before, most, part);
    pushRun(into, first, last);
    if (draw[1].toLowerCase() === 'point' && Math.abs(last - first) > 1) {
      const step = Math.sign(last - first);
      pushRun(into, last - step, first + step);
    }
    return true;
  }
  const match = cursor.take(RANGE);
  if (!match) return false;
  if (match[2] === undefined && Number(match[1]) === 0) {
    into.push(0);
    return true;
  }
  const first = readMember(match[1], before, most, part);
  pushRun(into, first, match[2] === undefined ? first : readMember(match[2], before, most, part));
  return true;
}

function readSet(cursor: Cursor, into: (readonly number[])[], most: number, part: 'shaft' | 'treadle'): boolean {
  const members: number[] = [];
  let expectMore = false;
  for (;;) {
    const before = cursor.at;
    const match = cursor.take(RANGE);
    if (!match) {
      if (expectMore) cursor.fail(`a ${part} after "+"`);
      return false;
    }
    if (match[2] === undefined && Number(match[1]) === 0 && !expectMore) break;
    const first = readMember(match[1], before, most, part);
    pushRun(members, first, match[2] === undefined ? first : readMember(match[2], before, most, part));
    if (!cursor.take(/\s*\+\s*/uy)) break;
    expectMore = true;
  }
  into.push(members);
  return true;
}

function readMember(digits: string, at: number, most: number, part: 'shaft' | 'treadle'): number {
  const member = Number(digits);
  if (member >= 1 && member <= most) return member;
  throw new DraftError(
    part === 'shaft' ? 'shaft-out-of-range' : 'treadle-out-of-range',
    { part: 'character', at: at + 1 },
    `At character ${at + 1}: ${part} ${digits}; there are ${part}s 1 to ${most}.`,
  );
}

function pushRun(into: number[], first: number, last: number): void {
  const step = last < first ? -1 : 1;
  for (let value = first; value !== last + step; value += step) into.push(value);
}

/** The members of each set as text, "1+3"; "0" for none. Three or more in a row are written as a run, "1-4+7". */
function formatSet(words: SetWords, index: number): string {
  const members = listMembers(words, index);
  if (members.length === 0) return '0';
  const pieces: string[] = [];
  for (let i = 0; i < members.length; ) {
    let j = i;
    while (j + 1 < members.length && members[j + 1] === members[j] + 1) j++;
    if (j - i >= 2) pieces.push(`${members[i]}-${members[j]}`);
    else for (let k = i; k <= j; k++) pieces.push(String(members[k]));
    i = j + 1;
  }
  return pieces.join('+');
}

export function setTexts(plan: LiftPlan): string[] {
  return Array.from({ length: setCount(plan) }, (_, index) => formatSet(plan, index));
}
