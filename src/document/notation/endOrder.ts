import { type Outcome, problemAt } from '#document/problem.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import { formatColourOrder } from '#engine/draft/formatNotation.ts';
import { type AtomReader, readNotation } from '#engine/draft/parseNotation.ts';

/** Which yarns each end is of. */
export interface EndOrder {
  /** Distinct ends: the ids of the strands that lie together in one heald. */
  readonly palette: readonly (readonly string[])[];
  /** Index into `palette`, per end. */
  readonly index: Uint16Array;
}

const STRANDS = /(?:(\d+)\s*)?((?!x\d)[a-z][a-z0-9.-]*(?:\s*\+\s*[a-z][a-z0-9.-]*)*)/uy;
const MOST_IN_ONE_COUNT = 65_535;

const strandsReader: AtomReader<string> = {
  expected: 'a yarn with its number of ends, such as 4 red or 2 red+gold',
  read(cursor, into) {
    const before = cursor.at;
    const match = cursor.take(STRANDS);
    if (!match) return false;
    const count = match[1] === undefined ? 1 : Number(match[1]);
    if (count < 1 || count > MOST_IN_ONE_COUNT) cursor.fail(`1 to ${MOST_IN_ONE_COUNT} ends`, before);
    const strands = match[2].replace(/\s+/gu, '');
    for (let i = 0; i < count; i++) into.push(strands);
    return true;
  },
};

/**
 * Reads the order of yarns across the warp, end 1 first: "4 red 2 cream x10, 1 red+gold"; + joins strands that lie in
 * one heald; the rest of the notation is that of `parseNotation.ts`. A list is read entry after entry.
 */
export function parseEndOrder(order: string | readonly string[]): Outcome<EndOrder> {
  const texts = typeof order === 'string' ? [order] : order;
  const names: string[] = [];
  for (const [entry, text] of texts.entries()) {
    try {
      for (const name of readNotation(text, strandsReader)) names.push(name);
    } catch (error) {
      if (!(error instanceof DraftError)) throw error;
      const path = typeof order === 'string' ? [] : [entry];
      return { ok: false, problems: [notationProblem(path, error)] };
    }
    if (names.length > MOST_IN_ONE_COUNT) break;
  }
  const paletteOf = new Map<string, number>();
  const index = Uint16Array.from(names, (name) => {
    const known = paletteOf.get(name);
    if (known !== undefined) return known;
    paletteOf.set(name, paletteOf.size);
    return paletteOf.size - 1;
  });
  return { ok: true, value: { palette: [...paletteOf.keys()].map((name) => name.split('+')), index } };
}

/** "At character 5: expected …, found …." as a problem of the place that holds the text. */
export function notationProblem(path: readonly (string | number)[], error: DraftError) {
  const what = error.message.replace(/^At character (\d+): /u, 'cannot be read at character $1: ').replace(/\.$/u, '');
  return problemAt(path, what, 'correct it there');
}

/** The order in compact notation; `parseEndOrder` reads it back the same. */
export function formatEndOrder({ palette, index }: EndOrder): string {
  const names = palette.map((strands) => strands.join('+'));
  // Ids hold neither spaces nor quotes, so the quotes put round joined names can go.
  return formatColourOrder(Array.from(index, (at) => names[at])).replaceAll('"', '');
}
