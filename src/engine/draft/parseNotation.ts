import { DraftError } from './draftError.ts';

/**
 * The compact notation for regular orders.
 *
 *   order  = part { "," part }
 *   part   = item { item } [ times ]           "1-4 x2, 5-8"   "4 red 2 cream x10"
 *   item   = atom | "(" order ")"              "(1-4 x2, 5-8) x3"
 *   times  = ("x" | "×" | "*") number          repeats everything since the last comma, bracket or times
 *
 * What an atom is depends on what is ordered (see `readNotation`'s callers). Line ends count as spaces, ";" as ",".
 */
export interface AtomReader<T> {
  /** What stands here, for error messages: 'a shaft number such as 3 or a range such as 1-8'. */
  readonly expected: string;
  /** Reads one atom at the cursor and appends its values, or returns false where none stands there. */
  read(cursor: Cursor, into: T[]): boolean;
}

/** No loom has more ends and no cloth here more picks; it stops "x99999" in brackets from filling memory. */
export const MOST_VALUES = 200_000;

/** Where reading stands in the text. */
export class Cursor {
  readonly text: string;
  at = 0;

  constructor(text: string) {
    this.text = text;
  }

  skipSpace(): void {
    while (this.at < this.text.length && /\s/u.test(this.text[this.at])) this.at++;
  }

  /** Takes what a sticky pattern matches here, or null. */
  take(pattern: RegExp): RegExpExecArray | null {
    pattern.lastIndex = this.at;
    const match = pattern.exec(this.text);
    if (match) this.at = pattern.lastIndex;
    return match;
  }

  fail(expected: string, at: number = this.at, code: 'notation' | 'too-long' = 'notation'): never {
    const found = at < this.text.length ? `"${this.text.slice(at, at + 12).trim()}"` : 'the end';
    throw new DraftError(
      code,
      { part: 'character', at: at + 1 },
      `At character ${at + 1}: expected ${expected}, found ${found}.`,
    );
  }
}

const TIMES = /[xX×*]\s*(\d+)(?![\p{L}\d])/uy;
const TIMES_WITHOUT_NUMBER = /[xX×*](?=\s*(?:[,;()]|$))/uy;

/**
 * Values in order, first first.
 * @throws DraftError 'notation' with the character (from 1) and what was expected; 'too-long' above 200 000 values.
 */
export function readNotation<T>(text: string, reader: AtomReader<T>): T[] {
  const cursor = new Cursor(text);
  const values: T[] = [];
  readOrder(cursor, reader, values, 0);
  cursor.skipSpace();
  if (cursor.at < text.length) cursor.fail(text[cursor.at] === ')' ? 'no ")" without its "("' : reader.expected);
  return values;
}

function readOrder<T>(cursor: Cursor, reader: AtomReader<T>, into: T[], depth: number): void {
  const began = into.length;
  let partStart = began;
  let itemsInPart = 0;
  let sawComma = false;
  for (;;) {
    cursor.skipSpace();
    const here = cursor.text[cursor.at];
    if (here === undefined || here === ')') {
      if (sawComma && itemsInPart === 0) cursor.fail(reader.expected);
      return;
    }
    if (here === ',' || here === ';') {
      if (itemsInPart === 0 && (sawComma || into.length === began)) cursor.fail(reader.expected);
      cursor.at++;
      sawComma = true;
      partStart = into.length;
      itemsInPart = 0;
      continue;
    }
    const before = cursor.at;
    if (itemsInPart > 0) {
      const times = cursor.take(TIMES);
      if (times) {
        repeat(cursor, into, partStart, Number(times[1]), before);
        partStart = into.length;
        itemsInPart = 0;
        sawComma = false;
        continue;
      }
      if (cursor.take(TIMES_WITHOUT_NUMBER)) cursor.fail('how many times, such as x10');
    }
    if (here === '(') readBracket(cursor, reader, into, depth);
    else if (!reader.read(cursor, into)) {
      cursor.fail(itemsInPart > 0 ? `${reader.expected}, "," or a repeat such as x10` : reader.expected);
    }
    if (into.length > MOST_VALUES) cursor.fail(`at most ${MOST_VALUES} in all`, before, 'too-long');
    itemsInPart++;
    sawComma = false;
  }
}

function readBracket<T>(cursor: Cursor, reader: AtomReader<T>, into: T[], depth: number): void {
  const open = cursor.at;
  if (depth >= 50) cursor.fail('at most 50 brackets inside each other');
  cursor.at++;
  const before = into.length;
  readOrder(cursor, reader, into, depth + 1);
  if (cursor.text[cursor.at] !== ')') cursor.fail(`")" for the "(" at character ${open + 1}`);
  if (into.length === before) cursor.fail(reader.expected);
  cursor.at++;
}

function repeat<T>(cursor: Cursor, into: T[], from: number, times: number, at: number): void {
  if (times < 1) cursor.fail('a repeat of 1 or more', at);
  const length = into.length - from;
  if (from + length * times > MOST_VALUES) cursor.fail(`at most ${MOST_VALUES} in all`, at, 'too-long');
  for (let k = 1; k < times; k++) for (let i = 0; i < length; i++) into.push(into[from + i]);
}
