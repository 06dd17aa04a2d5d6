import { type Outcome, problemAt } from '#document/problem.ts';

/** Beyond any sample that the format allows (20 000 picks of a few hundred characters); larger text is not parsed. */
const MOST_CHARACTERS = 32 * 1024 * 1024;

/** Text to JSON, with the line and column of what cannot be read. A byte-order mark is skipped. */
export function parseJson(text: string): Outcome<unknown> {
  const refuse = (what: string, remedy: string): Outcome<unknown> => ({
    ok: false,
    problems: [problemAt([], what, remedy)],
  });
  if (text.length > MOST_CHARACTERS) {
    return refuse(
      `is ${Math.round(text.length / 1e6)} million characters long, more than any sample`,
      'choose another file',
    );
  }
  const content = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  if (content.trim() === '') return refuse('is empty', 'choose another file');
  try {
    return { ok: true, value: JSON.parse(content) };
  } catch (error) {
    const place = placeOf(content, error instanceof Error ? error.message : '');
    if (!/^\s*[{[]/.test(content)) {
      return refuse(
        'is no sample: a sample saved by Forecloth is JSON and begins with "{"',
        'choose a sample (.forecloth.json), a draft (.wif) or a drawdown picture (.png)',
      );
    }
    return refuse(
      `is damaged, or was changed by hand: as JSON it cannot be read${place}`,
      place.startsWith(' at')
        ? 'mend that place in a text editor, or open another copy'
        : 'open another copy, or save it again from where it came',
    );
  }
}

/**
 * Engines say "at position N", "at line L column C" (that with "end of data" where it breaks off), "EOF" or nothing (from memory); told as the latter, as the end where that is meant, or as nothing where
 * neither is said.
 */
function placeOf(content: string, message: string): string {
  const breaksOff = ': it breaks off before its end';
  const position = /position (\d+)/.exec(message);
  if (position) {
    if (Number(position[1]) >= content.trimEnd().length) return breaksOff;
    const before = content.slice(0, Number(position[1])).split('\n');
    return ` at line ${before.length}, column ${before[before.length - 1].length + 1}`;
  }
  if (/end of (JSON|data|file)|unterminated|unexpected EOF/i.test(message)) return breaksOff;
  const lineColumn = /line (\d+) column (\d+)/.exec(message);
  return lineColumn ? ` at line ${lineColumn[1]}, column ${lineColumn[2]}` : '';
}
