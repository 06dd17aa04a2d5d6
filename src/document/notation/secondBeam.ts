import { type Outcome, problemAt } from '#document/problem.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import { formatThreading } from '#engine/draft/formatNotation.ts';
import { type AtomReader, readNotation } from '#engine/draft/parseNotation.ts';
import { notationProblem } from './endOrder.ts';

const BEAM = /([01])(?![\p{L}\d.])/uy;

const beamReader: AtomReader<number> = {
  expected: '1 for an end on the second beam, 0 for one on the first',
  read(cursor, into) {
    const match = cursor.take(BEAM);
    if (!match) return false;
    into.push(Number(match[1]));
    return true;
  },
};

/**
 * Which ends come from the second beam, leftmost first: "0 1" for every other one, "0 x20, 1 x12" for stripes. The order
 * begins again until the ends run out.
 */
export function parseSecondBeam(ends: string): Outcome<readonly number[]> {
  let beams: number[];
  try {
    beams = readNotation(ends, beamReader);
  } catch (error) {
    if (!(error instanceof DraftError)) throw error;
    return { ok: false, problems: [notationProblem([], error)] };
  }
  if (new Set(beams).size === 2) return { ok: true, value: beams };
  const what = beams.length === 0 ? 'names no end' : 'leaves one of the two beams empty';
  return { ok: false, problems: [problemAt([], what, 'give the ends in turn, such as 0 1 or 0 x20, 1 x12')] };
}

/** Of each end, 1 where it is on the second beam. @throws Error where the order was not checked. */
export function beamOfEnds(secondBeam: NonNullable<WarpCard['secondBeam']>, ends: number): number[] {
  const beams = parseSecondBeam(secondBeam.ends);
  if (!beams.ok) throw new Error(`A sample that was not checked: ${beams.problems[0].message}`);
  return Array.from({ length: ends }, (_, end) => beams.value[end % beams.value.length]);
}

/** The order as `parseSecondBeam` reads it, as short as its repeats make it. */
export function formatBeams(beams: readonly number[]): string {
  // Beams are written as shafts are: a beam is a number, and 0 and 1 make no run.
  return formatThreading(Uint8Array.from(beams));
}

/** Share by which each end is let off longer; undefined with one beam. @throws Error where the order was not checked. */
export function slackOfEnds({ secondBeam, ends }: Pick<WarpCard, 'secondBeam' | 'ends'>): Float64Array | undefined {
  if (!secondBeam) return undefined;
  return Float64Array.from(beamOfEnds(secondBeam, ends), (beam) => (beam * secondBeam.slackPercent) / 100);
}
