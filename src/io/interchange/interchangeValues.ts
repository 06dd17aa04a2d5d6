import type { DocumentProblem } from '#document/problem.ts';
import {
  type InterchangeEntry,
  type InterchangeSection,
  type InterchangeSections,
  lineProblem,
  shown,
  withoutComment,
} from './interchangeSections.ts';

/** Thrown within the reader and caught by it: the first line that cannot be read. */
export class InterchangeFault extends Error {
  readonly problem: DocumentProblem;
  constructor(problem: DocumentProblem) {
    super(problem.message);
    this.problem = problem;
  }
}

export function fault(line: number, what: string, remedy: string): InterchangeFault {
  return new InterchangeFault(lineProblem(line, what, remedy));
}

const YES = new Set(['true', 'on', 'yes', '1']);
const NO = new Set(['false', 'off', 'no', '0']);

/** true, on, yes, 1 and their opposites, in any letters (specification, boolean values). */
export function booleanOf({ key, value, line }: InterchangeEntry): boolean {
  const word = withoutComment(value).toLowerCase();
  if (YES.has(word)) return true;
  if (NO.has(word)) return false;
  throw fault(line, `${shown(key)} is "${shown(word)}", neither yes nor no`, 'write yes or no');
}

export function wholeOf(entry: InterchangeEntry, least: number, most: number): number {
  const text = withoutComment(entry.value);
  const number = Number(text);
  if (/^[+-]?\d+$/u.test(text) && number >= least && number <= most) return number;
  const what = `${shown(entry.key)} is "${shown(text)}", not a whole number from ${least} to ${most}`;
  throw fault(entry.line, what, 'correct the number');
}

export function lengthOf(entry: InterchangeEntry, mmOfUnit: number, most: number): number {
  const text = withoutComment(entry.value);
  const mm = Number(text) * mmOfUnit;
  if (/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/iu.test(text) && mm > 0 && mm <= most) return mm;
  throw fault(entry.line, `${shown(entry.key)} is "${shown(text)}", not a length up to ${most} mm`, 'correct it');
}

/** Whole numbers parted by commas, each within the bounds; none where nothing, or only 0, is written. */
export function listOf(entry: InterchangeEntry, most: number, thing: string): number[] {
  const text = withoutComment(entry.value);
  const members: number[] = [];
  if (text === '') return members;
  for (const part of text.split(',')) {
    const word = part.trim();
    const number = Number(word);
    if (!/^\d+$/u.test(word)) {
      throw fault(entry.line, `"${shown(word)}" is no number of a ${thing}`, 'part numbers by commas');
    }
    if (number > most) throw fault(entry.line, `names ${thing} ${number}, but there are ${most}`, 'correct the number');
    if (number > 0 && !members.includes(number)) members.push(number);
  }
  return members.sort((a, b) => a - b);
}

/** Entries of a section by their number, 1..most; what is left out is undefined. */
export function numbered<Value>(
  section: InterchangeSection | undefined,
  most: number,
  thing: string,
  read: (entry: InterchangeEntry) => Value,
): Map<number, Value> {
  const values = new Map<number, Value>();
  for (const entry of section?.entries.values() ?? []) {
    if (!/^\d+$/u.test(entry.key)) {
      throw fault(entry.line, `"${shown(entry.key)}" is no number of a ${thing}`, `begin with the ${thing}'s number`);
    }
    const number = Number(entry.key);
    if (number < 1 || number > most) {
      throw fault(entry.line, `speaks of ${thing} ${number}, but there are ${most}`, 'correct the number');
    }
    values.set(number, read(entry));
  }
  return values;
}

export function sectionOf(sections: InterchangeSections, title: string): InterchangeSection {
  const section = sections.get(title);
  if (section) return section;
  throw fault(1, `the file has no section [${title}]`, 'choose a whole draft interchange file');
}

export function entryOf(section: InterchangeSection, key: string): InterchangeEntry {
  const entry = section.entries.get(key);
  if (entry) return entry;
  throw fault(section.line, `[${shown(section.title)}] does not give ${key}`, 'add it, or choose another file');
}
