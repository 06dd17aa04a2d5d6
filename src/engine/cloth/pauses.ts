import type { Progress } from './clothTypes.ts';

/** Crossings that a pass over the whole cloth handles between two pauses: a few milliseconds of work. */
export const CROSSINGS_PER_PAUSE = 50_000;

/** Rows between two pauses of a pass that takes `ends` crossings a row. */
export function rowsPerPause(ends: number): number {
  return Math.max(1, Math.floor(CROSSINGS_PER_PAUSE / Math.max(1, ends)));
}

/** A pass over rows 0 .. rows − 1 in bands from .. to − 1, with a pause between two bands. */
export function* inBands(rows: number, ends: number, pass: (from: number, to: number) => void): Generator<void, void> {
  const step = rowsPerPause(ends);
  for (let from = 0; from < rows; from += step) {
    if (from > 0) yield;
    pass(from, Math.min(rows, from + step));
  }
}

/** Reports the same progress at every pause of a computation. */
export function* paused<T>(steps: Generator<void, T>, progress: Progress): Generator<Progress, T> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    yield progress;
  }
}
