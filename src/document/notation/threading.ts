import { type Outcome, problemAt } from '#document/problem.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import type { Threading } from '#engine/draft/draftTypes.ts';
import { formatThreading } from '#engine/draft/formatNotation.ts';
import { parseThreading } from '#engine/draft/orders.ts';
import { notationProblem } from './endOrder.ts';

/** The shaft of each end, end 1 first, from notation ("1-16 x40") or a list; 0 is an end on no shaft. */
export function readThreading(threading: string | readonly number[]): Outcome<Threading> {
  if (typeof threading !== 'string') return { ok: true, value: Uint8Array.from(threading) };
  try {
    return { ok: true, value: parseThreading(threading) };
  } catch (error) {
    if (!(error instanceof DraftError)) throw error;
    return { ok: false, problems: [notationProblem([], error)] };
  }
}

/** A threading to be read: as it was written where it was, since whoever wrote it parted it as the draw is thought of. */
export function threadingText(threading: string | readonly number[]): string {
  return typeof threading === 'string' ? threading : formatThreading(Uint8Array.from(threading));
}

/** A threading over so many ends: the notation begun again until they run out. In notation, as short as it has it. */
export function threadingOver(notation: string, ends: number): Outcome<string> {
  const read = readThreading(notation);
  if (!read.ok) return read;
  const { value } = read;
  if (value.length === 0) {
    return { ok: false, problems: [problemAt(['threading'], 'names no shaft', 'give a draw such as 1-8 or point 8')] };
  }
  return { ok: true, value: formatThreading(Uint8Array.from({ length: ends }, (_, end) => value[end % value.length])) };
}
