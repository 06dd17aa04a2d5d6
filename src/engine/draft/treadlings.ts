import type { Threading } from './draftTypes.ts';
import { formatThreading } from './formatNotation.ts';
import { parseTreadling } from './orders.ts';
import { smallestPeriod } from './repeats.ts';

/** Treadles side by side, each tied as the last one but a shaft further: a twill line of the tie-up. 1-based. */
export interface TreadleRun {
  readonly from: number;
  readonly to: number;
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
 * (shaft by shaft, the first treadle of the line for shaft 1), where that is another order. Without such a line, all treadles in turn and to and fro.
 */
export function ownTreadlings(
  ties: readonly (readonly number[])[],
  shafts: number,
  threading: Threading,
): OwnTreadling[] {
  const runs = twillRuns(
    ties,
    shafts,
    [...new Set(threading)].filter((shaft) => shaft > 0),
  );
  const all = { from: 1, to: ties.length };
  return (runs.length > 0 ? runs : [all]).flatMap((run): OwnTreadling[] => {
    const { from, to } = run;
    const out: OwnTreadling[] = [{ kind: 'inTurn', run, notation: `${from}-${to}` }];
    if (to - from > 1) out.push({ kind: 'toAndFro', run, notation: `point ${from}-${to}` });
    const draw = threading.slice(0, smallestPeriod(threading));
    if (runs.length > 0 && !draw.includes(0)) {
      const length = to - from + 1;
      const notation = formatThreading(draw.map((shaft) => from + ((shaft - 1) % length)));
      const asWoven = (text: string) => parseTreadling(text, ties.length).join(' ');
      if (!out.some((other) => asWoven(other.notation) === asWoven(notation)))
        out.push({ kind: 'asDrawnIn', run, notation });
    }
    return out;
  });
}

/** @param drawnOn shafts that carry ends: a line that leaves one out would leave its ends loose */
function twillRuns(ties: readonly (readonly number[])[], shafts: number, drawnOn: readonly number[]): TreadleRun[] {
  const keys = ties.map((tied) => [...tied].sort((a, b) => a - b).join(' '));
  const further = ties.map((tied) =>
    tied
      .map((shaft) => (shaft % shafts) + 1)
      .sort((a, b) => a - b)
      .join(' '),
  );
  const runs: TreadleRun[] = [];
  for (let from = 0; from < ties.length; ) {
    let to = from;
    while (to + 1 < ties.length && keys[to + 1] === further[to] && keys[to + 1] !== keys[from]) to++;
    const lifted = new Set(ties.slice(from, to + 1).flat());
    if (to - from + 1 >= SHORTEST_RUN && drawnOn.every((shaft) => lifted.has(shaft)))
      runs.push({ from: from + 1, to: to + 1 });
    from = to + 1;
  }
  return runs;
}
