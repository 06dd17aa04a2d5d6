import type { Threading } from './draftTypes.ts';
import { formatThreading } from './formatNotation.ts';
import { parseTreadling } from './orders.ts';
import { smallestPeriod } from './repeats.ts';

/** Treadles side by side, each tied as the last one but a shaft on: a twill line of the tie-up. 1-based. */
export interface TreadleRun {
  readonly from: number;
  readonly to: number;
  /** Shafts from treadle to treadle: 1 where the line climbs, -1 where it falls. */
  readonly step: 1 | -1;
}

export interface OwnTreadling {
  readonly kind: 'inTurn' | 'toAndFro' | 'asDrawnIn';
  readonly run: TreadleRun;
  /** As `parseTreadling` reads it; begun again until the picks run out. */
  readonly notation: string;
}

/** Fewer treadles make no line. */
const SHORTEST_RUN = 3;

/**
 * The treadlings that a tie-up is made for: along each of its twill lines in turn, to and fro, and as the warp is drawn in
 * (shaft by shaft, the lowest treadle of the line, as the shafts count, for shaft 1), where that is another order. Without
 * such a line there are none: the ties alone do not say in which order they are meant.
 */
export function ownTreadlings(
  ties: readonly (readonly number[])[],
  shafts: number,
  threading: Threading,
): OwnTreadling[] {
  const drawnOn = [...new Set(threading)].filter((shaft) => shaft > 0);
  return twillRuns(ties, shafts, drawnOn).flatMap((run): OwnTreadling[] => {
    const { from, to } = run;
    const out: OwnTreadling[] = [
      { kind: 'inTurn', run, notation: `${from}-${to}` },
      { kind: 'toAndFro', run, notation: `point ${from}-${to}` },
    ];
    if (threading.includes(0)) return out;
    const drawnIn = threading.map((shaft) => treadleFor(run, shaft));
    const notation = formatThreading(drawnIn.slice(0, smallestPeriod(drawnIn)));
    const asWoven = (text: string) => parseTreadling(text, ties.length).join(' ');
    if (!out.some((other) => asWoven(other.notation) === asWoven(notation)))
      out.push({ kind: 'asDrawnIn', run, notation });
    return out;
  });
}

/** Of a line that falls the last treadle is the one for shaft 1: mirrored, a tie-up weaves the same cloth. */
function treadleFor({ from, to, step }: TreadleRun, shaft: number): number {
  const place = (shaft - 1) % (to - from + 1);
  return step === 1 ? from + place : to - place;
}

/** @param drawnOn shafts that carry ends: a line that leaves one out would leave its ends loose */
function twillRuns(ties: readonly (readonly number[])[], shafts: number, drawnOn: readonly number[]): TreadleRun[] {
  const key = (tied: readonly number[]) => [...tied].sort((a, b) => a - b).join(' ');
  const keys = ties.map(key);
  const lineFrom = (from: number, step: 1 | -1): TreadleRun => {
    const next = (treadle: number) => key(ties[treadle].map((shaft) => ((shaft - 1 + step + shafts) % shafts) + 1));
    let to = from;
    while (to + 1 < ties.length && keys[to + 1] === next(to) && keys[to + 1] !== keys[from]) to++;
    return { from: from + 1, to: to + 1, step };
  };
  const runs: TreadleRun[] = [];
  for (let from = 0; from < ties.length; ) {
    const climbs = lineFrom(from, 1);
    const falls = lineFrom(from, -1);
    const run = falls.to > climbs.to ? falls : climbs;
    const lifted = new Set(ties.slice(from, run.to).flat());
    if (run.to - from >= SHORTEST_RUN && drawnOn.every((shaft) => lifted.has(shaft))) {
      runs.push(run);
      from = run.to;
    } else from++;
  }
  return runs;
}
