/**
 * Runs of threads that read as one stripe when single threads are too fine to draw: the same yarn throughout, or a
 * short order repeated ("one and one", "2 and 1").
 */
export interface ThreadGroup {
  /** First and last thread, inclusive. */
  readonly from: number;
  readonly to: number;
  /** Yarn indices of one repeat, in order. */
  readonly order: readonly number[];
}

/** Longest repeat that still reads as a mixture rather than as stripes of its own. */
const maxOrder = 6;

/**
 * Cuts a sequence of yarn indices into groups from the first thread on, taking at each place the repeat that runs
 * farthest (the shortest such order first). A repeat counts when it runs at least twice.
 */
export function groupThreads(yarnOf: ArrayLike<number>): ThreadGroup[] {
  const groups: ThreadGroup[] = [];
  const count = yarnOf.length;
  let from = 0;
  while (from < count) {
    let bestPeriod = 1;
    let bestEnd = runEnd(yarnOf, from, 1);
    for (let period = 2; period <= maxOrder && from + 2 * period <= count; period++) {
      const end = runEnd(yarnOf, from, period);
      if (end - from >= 2 * period && end > bestEnd + period) {
        bestPeriod = period;
        bestEnd = end;
      }
    }
    groups.push({ from, to: bestEnd - 1, order: Array.from({ length: bestPeriod }, (_, k) => yarnOf[from + k]) });
    from = bestEnd;
  }
  return groups;
}

/** One past the last thread up to which `period` repeats from `from`. */
function runEnd(yarnOf: ArrayLike<number>, from: number, period: number): number {
  let end = from + period;
  while (end < yarnOf.length && yarnOf[end] === yarnOf[end - period]) end++;
  return end;
}
