import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { Millimetres } from '#engine/units/units.ts';
import { type CheckedCloth, type Finding, MOST_PLACES, type Place, type Side } from './checkTypes.ts';
import { longRuns, type Run } from './longRuns.ts';

/** A float over fewer crossings than this is an ordinary interlacing, however coarse the cloth. */
const LEAST_FLOAT = 2;
/** Over more ends or picks than this, pile works out of a chenille (common practice: two, three at most). */
const MOST_PILE_FLOAT = 2;

/**
 * Floats longer than a limit in the finished cloth, by system and side. A float over n threads is as long as the room
 * that they take: n over threads per mm where they lie evenly (common practice).
 * @param limitMm null where floats are free.
 */
export function findLongFloats(cloth: CheckedCloth, columns: Drawdown, limitMm: Millimetres | null): Finding[] {
  if (limitMm === null) return [];
  const { drawdown, endXMm, rowYMm, rowFirst, rowLast } = cloth;
  return [
    ...bySide('warp', (found) => {
      longRuns(columns, leastThreads(rowYMm, limitMm), (run) => {
        const mm = roomMm(rowYMm, run.from, run.length);
        if (mm > limitMm) found(run, mm);
      });
    }),
    ...bySide('weft', (found) => {
      longRuns(
        drawdown,
        leastThreads(endXMm, limitMm),
        (run) => {
          const mm = roomMm(endXMm, run.from, run.length);
          if (mm > limitMm) found(run, mm);
        },
        { first: rowFirst, last: rowLast },
      );
    }),
  ].map(({ system, side, worst, count, places }) => ({
    kind: 'longFloat',
    weight: 'mistake',
    system,
    side,
    longestMm: worst.size,
    threads: worst.run.length,
    places,
    count,
  }));
}

/** Floats of pile yarns over more than two threads. */
export function findPileFloats(cloth: CheckedCloth, columns: Drawdown): Finding[] {
  const { drawdown, yarns, endYarn, rowYarn, rowFirst, rowLast } = cloth;
  if (!yarns.some(({ pile }) => pile)) return [];
  const least = MOST_PILE_FLOAT + 1;
  return [
    ...bySide('warp', (found) => {
      longRuns(
        columns,
        least,
        (run) => found(run, run.length),
        undefined,
        (end) => yarns[endYarn[end]].pile,
      );
    }),
    ...bySide('weft', (found) => {
      const within = { first: rowFirst, last: rowLast };
      longRuns(
        drawdown,
        least,
        (run) => found(run, run.length),
        within,
        (row) => yarns[rowYarn[row]].pile,
      );
    }),
  ].map(({ system, side, worst, count, places }) => ({
    kind: 'pileFloat',
    weight: 'mistake',
    system,
    side,
    threads: worst.run.length,
    places,
    count,
  }));
}

interface Sized {
  readonly run: Run;
  readonly size: number;
}

interface Gathered {
  readonly system: 'warp' | 'weft';
  readonly side: Side;
  readonly worst: Sized;
  readonly count: number;
  readonly places: readonly Place[];
}

/** Runs of one system on either side, the longest kept. */
function bySide(system: 'warp' | 'weft', look: (found: (run: Run, size: number) => void) => void): Gathered[] {
  const kept: Record<Side, Sized[]> = { face: [], back: [] };
  const count: Record<Side, number> = { face: 0, back: 0 };
  look((run, size) => {
    const side: Side = (run.up === 1) === (system === 'warp') ? 'face' : 'back';
    count[side]++;
    const list = kept[side];
    list.push({ run, size });
    // Kept short now and then: a cloth of nothing but long floats has millions.
    if (list.length >= 40 * MOST_PLACES) shorten(list);
  });
  return (['face', 'back'] as const).flatMap((side) => {
    const list = kept[side];
    if (list.length === 0) return [];
    shorten(list);
    return [{ system, side, worst: list[0], count: count[side], places: list.map(({ run }) => placeOf(system, run)) }];
  });
}

function shorten(list: Sized[]): void {
  list.sort((a, b) => b.size - a.size || a.run.line - b.run.line);
  list.length = Math.min(list.length, MOST_PLACES);
}

function placeOf(system: 'warp' | 'weft', { line, from, length }: Run): Place {
  const to = from + length - 1;
  return system === 'warp'
    ? { fromRow: from, toRow: to, fromEnd: line, toEnd: line }
    : { fromRow: line, toRow: line, fromEnd: from, toEnd: to };
}

/** No float over fewer threads can be longer than the limit. */
function leastThreads(at: ArrayLike<number>, limitMm: Millimetres): number {
  let widest = 0;
  for (let k = 0; k < at.length; k++) widest = Math.max(widest, roomMm(at, k, 1));
  return Math.max(LEAST_FLOAT, widest === 0 ? LEAST_FLOAT : Math.ceil(limitMm / widest));
}

/** Room that threads take, from half way to the one before to half way to the one after, mm. */
export function roomMm(at: ArrayLike<number>, from: number, length: number): Millimetres {
  const last = at.length - 1;
  if (last <= 0) return 0;
  const to = from + length - 1;
  const low = from > 0 ? (at[from - 1] + at[from]) / 2 : at[0] - (at[1] - at[0]) / 2;
  const high = to < last ? (at[to] + at[to + 1]) / 2 : at[last] + (at[last] - at[last - 1]) / 2;
  return high - low;
}
