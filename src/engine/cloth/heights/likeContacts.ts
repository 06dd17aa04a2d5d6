import { assignLevels, onLevels } from './crossingGrid.ts';
import type { HeightsProblem } from './heightsTypes.ts';

/**
 * Contacts of like threads, one over the other where no thread passes between them: ends on ends first, then rows on
 * rows. Nodes as in the splitting's fields (warp: level · ends + end; weft: row · ends + end).
 */
export interface LikeContacts {
  readonly count: number;
  /** How many of them are of ends. */
  readonly ofEnds: number;
  readonly upper: Uint32Array;
  readonly lower: Uint32Array;
  /** Least height of the upper centre over the lower one, mm. */
  readonly gapMm: Float64Array;
}

/** How many threads further on may lie over or under a thread: four layers. */
const LAYERS = 3;
/** Below this share of the half heights' sum a contact is of sides, not of backs and bellies, and left to offsets. */
const LEAST_GAP_SHARE = 0.05;

class ContactList {
  upper = new Uint32Array(64);
  lower = new Uint32Array(64);
  gap = new Float64Array(64);
  count = 0;

  add(upper: number, lower: number, gap: number): void {
    if (this.count === this.gap.length) {
      const grow = <T extends Uint32Array | Float64Array>(from: T, to: T): T => {
        to.set(from);
        return to;
      };
      this.upper = grow(this.upper, new Uint32Array(2 * this.count));
      this.lower = grow(this.lower, new Uint32Array(2 * this.count));
      this.gap = grow(this.gap, new Float64Array(2 * this.count));
    }
    this.upper[this.count] = upper;
    this.lower[this.count] = lower;
    this.gap[this.count++] = gap;
  }
}

/** Lifts of a family as words of 32 lines a thread: bit set where it lies over the threads that cross it. */
interface Lifts {
  readonly bits: Uint32Array;
  readonly wordsPerThread: number;
  /** Set where nothing crosses a thread; null where nothing is absent within the lines looked at. */
  readonly absent: Uint32Array | null;
}

/**
 * Calls `touch(first, last, order)` for every stretch of lines along which both threads lie on the same side of what
 * crosses them, and the lines either side at which that differs agree on which is uppermost (order 1: thread a): it then
 * lies over the other all the way between.
 * @param repeats whether the lines go round
 */
function orderedStretches(
  { bits, wordsPerThread, absent }: Lifts,
  a: number,
  b: number,
  from: number,
  to: number,
  repeats: boolean,
  touch: (first: number, last: number, order: number) => void,
): void {
  const ofA = a * wordsPerThread;
  const ofB = b * wordsPerThread;
  let first = -1;
  let firstOrder = 0;
  let last = -1;
  let order = 0;
  for (let word = from >>> 5; word <= to >>> 5; word++) {
    const lost = absent ? absent[ofA + word] | absent[ofB + word] : 0;
    let events = ((bits[ofA + word] ^ bits[ofB + word]) | lost) & spanMask(word, from, to);
    while (events !== 0) {
      const bit = events & -events;
      events ^= bit;
      const line = (word << 5) + 31 - Math.clz32(bit);
      // Where one of them is absent neither lies over the other.
      const now = lost & bit ? Number.NaN : bits[ofA + word] & bit ? 1 : -1;
      if (first < 0) {
        first = line;
        firstOrder = now;
      } else if (now === order && line > last + 1) touch(last + 1, line - 1, order);
      last = line;
      order = now;
    }
  }
  if (first < 0) return;
  if (!repeats) {
    // Reflected at its ends, the cloth beyond is as on this side.
    if (first > from && !Number.isNaN(firstOrder)) touch(from, first - 1, firstOrder);
    if (last < to && !Number.isNaN(order)) touch(last + 1, to, order);
    return;
  }
  if (order !== firstOrder) return;
  if (last < to) touch(last + 1, to, order);
  if (first > from) touch(from, first - 1, order);
}

function spanMask(word: number, first: number, last: number): number {
  const low = first > word << 5 ? -1 << (first - (word << 5)) : -1;
  const high = last < (word << 5) + 31 ? -1 >>> ((word << 5) + 31 - last) : -1;
  return low & high;
}

/** Lifts of the ends, level by level. */
function liftsOfEnds(problem: HeightsProblem, levelOfRow: Uint32Array, levels: number): Lifts {
  const { rows, ends, drawdown, rowFirst, rowLast } = problem;
  const wordsPerThread = (levels + 31) >>> 5;
  const bits = new Uint32Array(ends * wordsPerThread);
  const whole = levels === rows && rowFirst.every((from, j) => from === 0 && rowLast[j] === ends - 1);
  const absent = whole ? null : new Uint32Array(ends * wordsPerThread).fill(-1);
  for (let j = 0; j < rows; j++) {
    const word = levelOfRow[j] >>> 5;
    const bit = 1 << (levelOfRow[j] & 31);
    const row = j * drawdown.wordsPerRow;
    for (let i = rowFirst[j], at = i * wordsPerThread + word; i <= rowLast[j]; i++, at += wordsPerThread) {
      if ((drawdown.bits[row + (i >>> 5)] >>> (i & 31)) & 1) bits[at] |= bit;
      if (absent) absent[at] &= ~bit;
    }
  }
  return { bits, wordsPerThread, absent };
}

/** @returns null where no like threads lie over one another without one between them */
export function findLikeContacts(problem: HeightsProblem): LikeContacts | null {
  const list = new ContactList();
  endsOnEnds(problem, list);
  const ofEnds = list.count;
  rowsOnRows(problem, list);
  const { count } = list;
  if (count === 0) return null;
  return {
    count,
    ofEnds,
    upper: list.upper.slice(0, count),
    lower: list.lower.slice(0, count),
    gapMm: list.gap.slice(0, count),
  };
}

/** Whether some node lies over one like thread and under another: three layers and more. */
export function isPile({ upper, lower, ofEnds, count }: LikeContacts): boolean {
  return bothWays(upper, lower, 0, ofEnds) || bothWays(upper, lower, ofEnds, count);
}

/** Whether a node is the upper one of a contact and the lower one of another among the contacts from `from` to `to`. */
function bothWays(upper: Uint32Array, lower: Uint32Array, from: number, to: number): boolean {
  const over = new Set(upper.subarray(from, to));
  for (let c = from; c < to; c++) if (over.has(lower[c])) return true;
  return false;
}

/** Height that one ellipse stands over another at a distance sideways; 0 where they pass side by side. */
function stackedMm(besideMm: number, halfWidths: number, halfHeights: number): number {
  const share = besideMm / halfWidths;
  const gap = share * share < 1 ? halfHeights * Math.sqrt(1 - share * share) : 0;
  return gap > LEAST_GAP_SHARE * halfHeights ? gap : 0;
}

function endsOnEnds(problem: HeightsProblem, list: ContactList): void {
  const { ends, endXMm, endHalfWidthMm, endHalfHeightMm } = problem;
  const repeats = problem.boundary === 'periodic';
  const { levelOfRow, levelYMm } = assignLevels(problem);
  const offset = problem.endOffsetMm && onLevels(problem, levelOfRow, levelYMm.length, problem.endOffsetMm);
  let lifts: Lifts | undefined;
  for (let t = 0; t < ends; t++) {
    for (let step = 1; step <= LAYERS; step++) {
      const u = (t + step) % ends;
      if (u === t || (t + step >= ends && !repeats)) break;
      const beside = endXMm[u] - endXMm[t] + (t + step >= ends ? problem.periodXMm! : 0);
      const widths = endHalfWidthMm[t] + endHalfWidthMm[u];
      if (!offset && beside >= widths) break;
      const heights = endHalfHeightMm[t] + endHalfHeightMm[u];
      lifts ??= liftsOfEnds(problem, levelOfRow, levelYMm.length);
      orderedStretches(lifts, t, u, 0, levelYMm.length - 1, repeats, (first, last, order) => {
        for (let level = first; level <= last; level++) {
          const moved = offset ? offset[level * ends + u] - offset[level * ends + t] : 0;
          const gap = stackedMm(beside + moved, widths, heights);
          if (gap === 0) continue;
          list.add(level * ends + (order > 0 ? t : u), level * ends + (order > 0 ? u : t), gap);
        }
      });
    }
  }
}

function rowsOnRows(problem: HeightsProblem, list: ContactList): void {
  const { ends, rows, drawdown, rowFirst, rowLast, rowYMm, rowHalfWidthMm, rowHalfHeightMm } = problem;
  const repeats = problem.boundary === 'periodic';
  const offset = problem.rowOffsetMm;
  const lifts: Lifts = { bits: drawdown.bits, wordsPerThread: drawdown.wordsPerRow, absent: null };
  for (let t = 0; t < rows; t++) {
    for (let step = 1; step <= LAYERS; step++) {
      const u = (t + step) % rows;
      if (u === t || (t + step >= rows && !repeats)) break;
      const beside = rowYMm[u] - rowYMm[t] + (t + step >= rows ? problem.periodYMm! : 0);
      const widths = rowHalfWidthMm[t] + rowHalfWidthMm[u];
      if (!offset && beside >= widths) break;
      const heights = rowHalfHeightMm[t] + rowHalfHeightMm[u];
      const from = Math.max(rowFirst[t], rowFirst[u]);
      const to = Math.min(rowLast[t], rowLast[u]);
      if (to < from) continue;
      const round = repeats && from === 0 && to === ends - 1;
      orderedStretches(lifts, t, u, from, to, round, (first, last, order) => {
        for (let i = first; i <= last; i++) {
          const moved = offset ? offset[u * ends + i] - offset[t * ends + i] : 0;
          const gap = stackedMm(beside + moved, widths, heights);
          if (gap === 0) continue;
          // Bits say where the warp lies over the row: the one it is over is the lower.
          list.add((order > 0 ? u : t) * ends + i, (order > 0 ? t : u) * ends + i, gap);
        }
      });
    }
  }
}
