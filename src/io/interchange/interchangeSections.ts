import { type DocumentProblem, type Outcome, problemAt } from '#document/problem.ts';

/** One key=value of a section, as it stood. */
export interface InterchangeEntry {
  /** As written, for what is kept. */
  readonly key: string;
  /** Without the spaces round it; a comment after it is still there (see `withoutComment`). */
  readonly value: string;
  /** Line of the file, from 1. */
  readonly line: number;
}

export interface InterchangeSection {
  /** As written between the brackets. */
  readonly title: string;
  readonly line: number;
  /** By key in capitals: neither sections nor keys tell capitals from small letters. */
  readonly entries: ReadonlyMap<string, InterchangeEntry>;
  /** All lines below the title, as they stood. */
  readonly lines: readonly string[];
}

export type InterchangeSections = ReadonlyMap<string, InterchangeSection>;

/** A problem at a line of the file. */
export function lineProblem(line: number, what: string, remedy: string): DocumentProblem {
  return problemAt(['line', line - 1], what, remedy);
}

/** Longest quotation of a line in a message, characters. */
const SHOWN = 40;

export function shown(text: string): string {
  return text.length > SHOWN ? `${text.slice(0, SHOWN)}…` : text;
}

/**
 * The sections of a draft interchange file, by title in capitals: [titles] with key=value lines below them; empty lines
 * and lines that begin with a semicolon say nothing. Weaving Information File specification 1.1 (1997), parts IV and V.
 * Refused with the line: text before the first title, a line that is neither title nor key=value, and a title or key
 * that comes twice, since then nobody knows which was meant.
 */
export function readSections(text: string): Outcome<InterchangeSections> {
  const sections = new Map<string, { -readonly [K in keyof InterchangeSection]: InterchangeSection[K] }>();
  let open: { title: string; entries: Map<string, InterchangeEntry>; lines: string[] } | undefined;
  const refuse = (line: number, what: string, remedy: string): Outcome<never> => ({
    ok: false,
    problems: [lineProblem(line, what, remedy)],
  });
  const lines = text.replace(/^\uFEFF/u, '').split(/\r\n|\r|\n/u);
  for (let i = 0; i < lines.length; i++) {
    const raw = lines[i];
    const line = raw.trim();
    const number = i + 1;
    if (line.startsWith('[')) {
      const title = /^\[([^\]]*)\]/u.exec(line)?.[1].trim();
      if (title === undefined) return refuse(number, `"${shown(line)}" has no closing bracket`, 'write [title]');
      const known = sections.get(title.toUpperCase());
      if (known) {
        return refuse(number, `[${shown(title)}] stands here again, after line ${known.line}`, 'put the two together');
      }
      open = { title, entries: new Map(), lines: [] };
      sections.set(title.toUpperCase(), { ...open, line: number });
      continue;
    }
    if (!open) {
      if (line === '' || line.startsWith(';')) continue;
      return refuse(number, `"${shown(line)}" stands before any [title]`, 'choose a draft interchange file');
    }
    open.lines.push(raw);
    if (line === '' || line.startsWith(';')) continue;
    const at = line.indexOf('=');
    if (at < 1) return refuse(number, `"${shown(line)}" is not key=value`, 'correct or remove the line');
    const key = line.slice(0, at).trim();
    const before = open.entries.get(key.toUpperCase());
    if (before) {
      const what = `gives ${shown(key)} of [${shown(open.title)}] again, after line ${before.line}`;
      return refuse(number, what, 'keep one of the two');
    }
    open.entries.set(key.toUpperCase(), { key, value: line.slice(at + 1).trim(), line: number });
  }
  return { ok: true, value: sections };
}

/** A value of figures or single words: what follows a semicolon is a comment. */
export function withoutComment(value: string): string {
  const at = value.indexOf(';');
  return (at < 0 ? value : value.slice(0, at)).trim();
}
