import type { Outcome } from '#document/problem.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import type { Threading } from '#engine/draft/draftTypes.ts';
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
