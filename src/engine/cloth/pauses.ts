/** Crossings that a pass over the whole cloth handles between two pauses: a few milliseconds of work. */
const CROSSINGS_PER_PAUSE = 50_000;

/** Rows between two pauses of a pass that takes `ends` crossings a row. */
export function rowsPerPause(ends: number): number {
  return Math.max(1, Math.floor(CROSSINGS_PER_PAUSE / Math.max(1, ends)));
}
