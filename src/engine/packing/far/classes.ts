import { THREAD_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { colourSteps } from './colourSteps.ts';
import { MOST_CLASSES } from './farTypes.ts';
import { crossingLifts, type LiftGrid, liftKey } from './lifts.ts';
import { type ThreadGrain, type ThreadKinds, threadKinds } from './threadKinds.ts';

/** Crossings that look alike, in classes. */
export interface CrossingClasses {
  readonly lines: number;
  readonly ends: number;
  readonly classOf: Uint8Array;
  readonly count: number;
}

/** What tells crossings apart. */
export interface Grain extends ThreadGrain {
  /** Crossings on either side, along the threads, whose lifts count. */
  readonly along: 0 | 1 | 2;
  readonly diagonal: boolean;
}

/**
 * From the finest to the coarsest: the first that has few enough common kinds is taken, and what is rare in it is told apart
 * less. Pitches go first: a beat that scatters makes many of them, and weaves and yarns differ more to the eye.
 */
const GRAINS: readonly Grain[] = [
  { along: 2, diagonal: true, neighbourYarns: true, pitchSteps: 4 },
  { along: 2, diagonal: true, neighbourYarns: true, pitchSteps: 2 },
  { along: 2, diagonal: true, neighbourYarns: true, pitchSteps: 0 },
  { along: 1, diagonal: true, neighbourYarns: true, pitchSteps: 0 },
  { along: 1, diagonal: false, neighbourYarns: true, pitchSteps: 0 },
  { along: 1, diagonal: false, neighbourYarns: false, pitchSteps: 0 },
  { along: 0, diagonal: false, neighbourYarns: false, pitchSteps: 0 },
];

/** Crossings that are counted to find the common kinds: whole lines, evenly. */
const MOST_COUNTED = 2 ** 18;
/** A kind rarer than one crossing in so many goes with its like. */
const RARE = 4000;
/** Kinds that are counted at all. */
const MOST_KINDS = 2 ** 14;
const LINES_PER_PAUSE = 32;
const UNSORTED = 255;

/** Whether the reader's yarn orders repeat with its crossings, so that classes do too. */
function periodOf(reader: ClothReader): { lines: number; ends: number } {
  const { cloth } = reader;
  const whole = { lines: cloth.lines, ends: cloth.ends };
  if (cloth.sideBySide || cloth.partialRows || colourSteps(cloth)) return whole;
  const material = (table: Float32Array, k: number) => table[k * THREAD_TEXELS * 4 + 3];
  for (let end = cloth.periodEnds; end < cloth.ends; end++) {
    if (material(cloth.endTable, end) !== material(cloth.endTable, end - cloth.periodEnds)) return whole;
  }
  for (let row = cloth.periodRows; row < cloth.rows; row++) {
    if (material(cloth.rowTable, row) !== material(cloth.rowTable, row - cloth.periodRows)) return whole;
  }
  return { lines: Math.min(cloth.lines, cloth.periodRows), ends: Math.min(cloth.ends, cloth.periodEnds) };
}

/** Groups crossings that look alike, up to MOST_CLASSES. Yields the share done. */
export function* classifyCrossings(reader: ClothReader): Generator<number, CrossingClasses> {
  const { lines, ends } = periodOf(reader);
  const lifts = yield* crossingLifts(reader, lines, ends);
  const classOf = new Uint8Array(lines * ends).fill(UNSORTED);
  let count = 0;
  let left = lines * ends;
  // Whatever is left over must find a class of its own lift and yarns.
  const own = yield* countKinds(reader, classOf, lifts, keysOf(reader, lifts, GRAINS[GRAINS.length - 1]));
  // The last index says that a crossing is not sorted yet.
  const most = MOST_CLASSES - 1;
  for (const [step, grain] of GRAINS.entries()) {
    const keyOf = keysOf(reader, lifts, grain);
    const last = step === GRAINS.length - 1;
    const known = new Map<number, number>();
    if (!last) {
      const kinds = yield* countKinds(reader, classOf, lifts, keyOf);
      const must = step === GRAINS.length - 2;
      for (const key of commonKinds(kinds, most - count, own.size, must)) known.set(key, 0);
    }
    for (const key of known.keys()) known.set(key, count++);
    for (let line = 0; line < lines; line++) {
      if (line % LINES_PER_PAUSE === 0) yield (step + line / lines) / GRAINS.length;
      for (let end = 0; end < ends; end++) {
        const at = line * ends + end;
        if (classOf[at] !== UNSORTED) continue;
        if (!last && isBorder(reader, lifts, line, end)) continue;
        const key = keyOf(line, end);
        let found = known.get(key);
        if (found === undefined) {
          if (!last) continue;
          // More pairs of yarns than classes: the rest share the last.
          found = count < most ? count++ : most - 1;
          known.set(key, found);
        }
        classOf[at] = found;
        left--;
      }
    }
    if (left === 0) break;
    if (!last) left -= sortBorders(reader, lifts, classOf);
    if (left === 0) break;
  }
  return { lines, ends, classOf, count };
}

/** Kinds of the crossings that no finer grain took, and how many there are of each; of some lines where they are many. */
function* countKinds(
  reader: ClothReader,
  classOf: Uint8Array,
  grid: LiftGrid,
  keyOf: (line: number, end: number) => number,
): Generator<number, Map<number, number>> {
  const { lines, ends } = grid;
  const counts = new Map<number, number>();
  const every = Math.max(1, Math.ceil((lines * ends) / MOST_COUNTED));
  for (let line = 0; line < lines; line += every) {
    if (line % LINES_PER_PAUSE < every) yield 0;
    for (let end = 0; end < ends; end++) {
      if (classOf[line * ends + end] !== UNSORTED || isBorder(reader, grid, line, end)) continue;
      const key = keyOf(line, end);
      const before = counts.get(key);
      if (before !== undefined || counts.size < MOST_KINDS) counts.set(key, (before ?? 0) + 1);
    }
  }
  return counts;
}

/**
 * Those worth a class each: all where there is room, else all common ones, else none.
 * @param reserve room to be left for what is rare
 * @param must as many as there is room for, of a grain after which weaves are not told apart any more
 */
function commonKinds(counts: Map<number, number>, room: number, reserve: number, must: boolean): number[] {
  if (counts.size <= room) return [...counts.keys()];
  const all = [...counts.values()].reduce((sum, n) => sum + n, 0);
  const least = Math.max(2, all / RARE);
  const common = [...counts].filter(([, n]) => n >= least).sort((a, b) => b[1] - a[1]);
  const most = Math.max(0, room - reserve);
  if (common.length > most && !must) return [];
  return common.slice(0, most).map(([key]) => key);
}

/** Outermost crossings lack neighbours. */
function isBorder({ cloth }: ClothReader, { lines, ends }: LiftGrid, line: number, end: number): boolean {
  const outer = (at: number, count: number, all: number) => count === all && all > 8 && (at < 2 || at >= all - 2);
  return outer(line, lines, cloth.lines) || outer(end, ends, cloth.ends);
}

/** Crossings at the border take the class of one near by that has their own lift and yarns; gives how many did. */
function sortBorders(reader: ClothReader, grid: LiftGrid, classOf: Uint8Array): number {
  const { lines, ends } = grid;
  const ownOf = keysOf(reader, grid, GRAINS[GRAINS.length - 1]);
  let sorted = 0;
  const inward = (at: number, count: number, step: number) => Math.min(count - 1 - step, Math.max(step, at));
  for (let line = 0; line < lines; line++) {
    for (let end = 0; end < ends; end++) {
      const at = line * ends + end;
      if (classOf[at] !== UNSORTED || !isBorder(reader, grid, line, end)) continue;
      const own = ownOf(line, end);
      for (let k = 0; k < NEAR * NEAR && classOf[at] === UNSORTED; k++) {
        const l = inward(line, lines, 2 + (k % NEAR));
        const e = inward(end, ends, 2 + Math.floor(k / NEAR));
        if (l < 0 || e < 0 || l >= lines || e >= ends || ownOf(l, e) !== own) continue;
        classOf[at] = classOf[l * ends + e];
        if (classOf[at] !== UNSORTED) sorted++;
      }
    }
  }
  return sorted;
}

/** Threads inwards among which a border crossing looks for its like. */
const NEAR = 10;

/** A number for each crossing, the same where it looks alike by this grain. */
function keysOf(reader: ClothReader, lifts: LiftGrid, grain: Grain): (line: number, end: number) => number {
  const { cloth } = reader;
  const { lines, ends } = lifts;
  const rowYarn = (row: number) => cloth.rowTable[row * THREAD_TEXELS * 4 + 3];
  const endKinds: ThreadKinds = threadKinds(
    {
      count: ends,
      all: cloth.ends,
      position: (k) => reader.endX(k),
      material: (k) => cloth.endTable[k * THREAD_TEXELS * 4 + 3],
    },
    grain,
  );
  const lineKinds: ThreadKinds = threadKinds(
    {
      count: lines,
      all: cloth.lines,
      position: (k) => reader.lineY(k),
      material: (k) => (cloth.sideBySide ? -1 : rowYarn(k)),
    },
    grain,
  );
  const steps = colourSteps(cloth);
  return (line, end) => {
    let beside = lineKinds.kindOf[line];
    if (cloth.sideBySide) beside = beside * cloth.materials + rowYarn(reader.rowAt(line, end));
    if (steps) {
      const row = steps.ofRow(reader.rowAt(line, end), reader.endX(end));
      beside = (beside * steps.count + row) * steps.count + steps.ofEnd(end, reader.lineY(line));
    }
    // Exact below 2^53: 29 bits of lifts and gaps, the rest for kinds of threads.
    return liftKey(lifts, line, end, grain) + 2 ** 29 * (endKinds.kindOf[end] + endKinds.count * beside);
  };
}
