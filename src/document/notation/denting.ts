import { type Outcome, problemAt } from '#document/problem.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import { type DentedEnds, dentEnds, USUAL_WIRE_SHARE } from '#engine/cloth/reed/denting.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import { type AtomReader, readNotation } from '#engine/draft/parseNotation.ts';
import { notationProblem } from './endOrder.ts';

const COUNT = /(\d+)(?![\p{L}\d.])/uy;
/** More ends than this do not pass one dent of any reed. */
const MOST_IN_ONE_DENT = 32;

const dentReader: AtomReader<number> = {
  expected: 'the ends of a dent, such as 2, or 0 for an empty one',
  read(cursor, into) {
    const before = cursor.at;
    const match = cursor.take(COUNT);
    if (!match) return false;
    const count = Number(match[1]);
    if (count > MOST_IN_ONE_DENT) cursor.fail(`0 to ${MOST_IN_ONE_DENT} ends`, before);
    into.push(count);
    return true;
  },
};

/**
 * Ends in each dent, left first: a number for all of them, or their order, "2 2 0 3", "2 x10, 0 x2"; the rest of the
 * notation is that of `parseNotation.ts`. The order begins again until the ends run out.
 */
export function parseDenting(endsPerDent: number | string): Outcome<readonly number[]> {
  if (typeof endsPerDent === 'number') return { ok: true, value: [endsPerDent] };
  let counts: number[];
  try {
    counts = readNotation(endsPerDent, dentReader);
  } catch (error) {
    if (!(error instanceof DraftError)) throw error;
    return { ok: false, problems: [notationProblem([], error)] };
  }
  if (counts.some((count) => count > 0)) return { ok: true, value: counts };
  const what = counts.length === 0 ? 'gives no dent' : 'leaves every dent empty';
  return { ok: false, problems: [problemAt([], what, 'give the ends of each dent in turn, such as 2 2 0 3')] };
}

/** The ends of a warp in its reed. @throws Error where the denting was not checked. */
export function dentsOfWarp({ reed, ends }: Pick<WarpCard, 'reed' | 'ends'>): DentedEnds {
  const denting = parseDenting(reed.endsPerDent);
  if (!denting.ok) throw new Error(`A sample that was not checked: ${denting.problems[0].message}`);
  const { dentsPerCm, wireShare = USUAL_WIRE_SHARE } = reed;
  return dentEnds({ dentsPerCm, endsPerDent: denting.value, wireShare }, ends);
}
