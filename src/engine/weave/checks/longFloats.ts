import { type DistinctLines, distinctPicks } from '#engine/draft/distinct.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { Millimetres } from '#engine/units/units.ts';
import { type CheckedCloth, type Finding, MOST_PLACES, type Place, type Side } from './checkTypes.ts';
import { longRuns } from './longRuns.ts';
import { passesWhole, warpLines } from './warpLines.ts';

/** A float over fewer crossings than this is an ordinary interlacing, however coarse the cloth. */
const LEAST_FLOAT = 2;
/** Over more ends or picks than this, pile works out of a chenille (common practice: two, three at most). */
const MOST_PILE_FLOAT = 2;

/**
 * Floats longer than a limit in the finished cloth, by system and side. A float over n threads is as long as the room
 * that they take: n over threads per mm where they lie evenly (common practice).
 * @param limitMm null where floats are free.
 */
export function findLongFloats(cloth: CheckedCloth, threads: ThreadLines, limitMm: Millimetres | null): Finding[] {
  if (limitMm === null) return [];
  return (['warp', 'weft'] as const).flatMap((system) => {
    const at = system === 'warp' ? cloth.rowYMm : cloth.endXMm;
    const lines = linesOf(cloth, threads, system);
    const sizeOf = (from: number, length: number) => roomMm(at, from, length);
    return bySide(lines, leastThreads(at, limitMm), limitMm, sizeOf).map(
      ({ side, longest, longestThreads, places, count }): Finding => ({
        kind: 'longFloat',
        weight: 'mistake',
        system,
        side,
        longestMm: longest,
        threads: longestThreads,
        places,
        count,
      }),
    );
  });
}

/** Floats of pile yarns over more than two threads. */
export function findPileFloats(cloth: CheckedCloth, threads: ThreadLines): Finding[] {
  const { yarns, endYarn, rowYarn } = cloth;
  if (!yarns.some(({ pile }) => pile)) return [];
  return (['warp', 'weft'] as const).flatMap((system) => {
    const yarnOf = system === 'warp' ? endYarn : rowYarn;
    const lines = linesOf(cloth, threads, system, (line) => yarns[yarnOf[line]].pile);
    return bySide(lines, MOST_PILE_FLOAT + 1, MOST_PILE_FLOAT, (_, length) => length).map(
      ({ side, longestThreads, places, count }): Finding => ({
        kind: 'pileFloat',
        weight: 'mistake',
        system,
        side,
        threads: longestThreads,
        places,
        count,
      }),
    );
  });
}

/** The cloth end by end, and which ends and which rows are alike. */
export interface ThreadLines {
  readonly columns: Drawdown;
  readonly ends: DistinctLines;
  readonly picks: DistinctLines;
}

export function threadLines(cloth: CheckedCloth): ThreadLines {
  const columns = warpLines(cloth);
  return { columns, ends: distinctPicks(columns), picks: distinctPicks(cloth.drawdown) };
}

/** Lines of one system, of which one stands for all that are alike. */
interface Lines {
  readonly system: 'warp' | 'weft';
  readonly drawdown: Drawdown;
  readonly within?: { readonly first: ArrayLike<number>; readonly last: ArrayLike<number> };
  /** The lines looked at, and for each line the lines that it stands for. */
  readonly standing: readonly number[];
  readonly alike: ReadonlyMap<number, readonly number[]>;
}

function linesOf(
  cloth: CheckedCloth,
  { columns, ends, picks }: ThreadLines,
  system: 'warp' | 'weft',
  wanted: (line: number) => boolean = () => true,
): Lines {
  const { classOf } = system === 'warp' ? ends : picks;
  // Rows that pass part of the width mean nothing beyond it, so that none stands for another.
  const apart = system === 'weft' && !passesWhole(cloth);
  const alike = new Map<number, number[]>();
  const first = new Map<number, number>();
  for (let line = 0; line < classOf.length; line++) {
    if (!wanted(line)) continue;
    const standing = apart ? undefined : first.get(classOf[line]);
    if (standing === undefined) {
      first.set(classOf[line], line);
      alike.set(line, [line]);
    } else alike.get(standing)?.push(line);
  }
  return {
    system,
    drawdown: system === 'warp' ? columns : cloth.drawdown,
    ...(apart ? { within: { first: cloth.rowFirst, last: cloth.rowLast } } : {}),
    standing: [...alike.keys()],
    alike,
  };
}

interface Gathered {
  readonly side: Side;
  readonly longest: number;
  readonly longestThreads: number;
  readonly count: number;
  readonly places: readonly Place[];
}

interface Kept {
  readonly line: number;
  readonly from: number;
  readonly length: number;
  readonly size: number;
}

/** Runs above a size on either side, the largest kept. */
function bySide(
  { system, drawdown, within, standing, alike }: Lines,
  leastLength: number,
  limit: number,
  sizeOf: (from: number, length: number) => number,
): Gathered[] {
  const gathered = { face: new Longest(), back: new Longest() };
  longRuns(
    drawdown,
    leastLength,
    (line, from, length, up) => {
      const size = sizeOf(from, length);
      if (size <= limit) return;
      const side: Side = (up === 1) === (system === 'warp') ? 'face' : 'back';
      gathered[side].add(line, from, length, size, alike.get(line)?.length ?? 1);
    },
    within,
    standing,
  );
  return (['face', 'back'] as const).flatMap((side) => {
    const { count } = gathered[side];
    if (count === 0) return [];
    const worst = gathered[side].worst();
    const places: Place[] = [];
    for (const { line, from, length } of worst) {
      for (const each of alike.get(line) ?? [line]) {
        if (places.length < MOST_PLACES) places.push(placeOf(system, each, from, length));
      }
    }
    return [{ side, longest: worst[0].size, longestThreads: worst[0].length, count, places }];
  });
}

/** Counts all and keeps the largest. */
class Longest {
  count = 0;
  #kept: Kept[] = [];
  #least = Number.NEGATIVE_INFINITY;

  add(line: number, from: number, length: number, size: number, times: number): void {
    this.count += times;
    if (size <= this.#least) return;
    this.#kept.push({ line, from, length, size });
    if (this.#kept.length >= 4 * MOST_PLACES) {
      this.worst();
      this.#least = this.#kept[MOST_PLACES - 1].size;
    }
  }

  worst(): readonly Kept[] {
    this.#kept.sort((a, b) => b.size - a.size || a.line - b.line || a.from - b.from);
    this.#kept.length = Math.min(this.#kept.length, MOST_PLACES);
    return this.#kept;
  }
}

function placeOf(system: 'warp' | 'weft', line: number, from: number, length: number): Place {
  const to = from + length - 1;
  return system === 'warp'
    ? { fromRow: from, toRow: to, fromEnd: line, toEnd: line }
    : { fromRow: line, toRow: line, fromEnd: from, toEnd: to };
}

/** No float over fewer threads can be longer than the limit. */
function leastThreads(at: ArrayLike<number>, limitMm: Millimetres): number {
  let widest = 0;
  for (let k = 0; k < at.length; k++) widest = Math.max(widest, roomMm(at, k, 1));
  return Math.max(LEAST_FLOAT, widest === 0 ? LEAST_FLOAT : Math.floor(limitMm / widest));
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
