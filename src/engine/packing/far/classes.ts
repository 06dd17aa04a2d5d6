import { THREAD_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import { fromHalf } from '#engine/packing/halfFloat.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { MOST_CLASSES } from './farTypes.ts';

/** Crossings of a class that stand for the others. */
const MEMBERS = 24;

export interface CrossingClasses {
  readonly lines: number;
  readonly ends: number;
  readonly classOf: Uint8Array;
  readonly count: number;
  /** Crossings in each class. */
  readonly size: Uint32Array;
  /** Up to MEMBERS crossings of each class, evenly drawn: line * ends + end. */
  readonly members: readonly (readonly number[])[];
}

/** What tells crossings apart, from the finest to the coarsest: the first that gives few enough classes is taken. */
interface Grain {
  /** Crossings on either side, along the threads, whose lifts count. */
  readonly along: 0 | 1 | 2;
  readonly diagonal: boolean;
  readonly neighbourYarns: boolean;
  /** Steps of the pitch per doubling; 0: all alike. */
  readonly pitchSteps: 0 | 2 | 4;
}

const GRAINS: readonly Grain[] = [
  { along: 2, diagonal: true, neighbourYarns: true, pitchSteps: 4 },
  { along: 2, diagonal: false, neighbourYarns: true, pitchSteps: 2 },
  { along: 1, diagonal: true, neighbourYarns: true, pitchSteps: 0 },
  { along: 1, diagonal: false, neighbourYarns: true, pitchSteps: 0 },
  { along: 1, diagonal: false, neighbourYarns: false, pitchSteps: 0 },
  { along: 0, diagonal: false, neighbourYarns: false, pitchSteps: 0 },
];

/** Whether the reader's yarn orders repeat with its crossings, so that classes do too. */
function periodOf(reader: ClothReader): { lines: number; ends: number } {
  const { cloth } = reader;
  const whole = { lines: cloth.lines, ends: cloth.ends };
  if (cloth.sideBySide || cloth.partialRows) return whole;
  const material = (table: Float32Array, k: number) => table[k * THREAD_TEXELS * 4 + 3];
  for (let end = cloth.periodEnds; end < cloth.ends; end++) {
    if (material(cloth.endTable, end) !== material(cloth.endTable, end - cloth.periodEnds)) return whole;
  }
  for (let row = cloth.periodRows; row < cloth.rows; row++) {
    if (material(cloth.rowTable, row) !== material(cloth.rowTable, row - cloth.periodRows)) return whole;
  }
  return { lines: Math.min(cloth.lines, cloth.periodRows), ends: Math.min(cloth.ends, cloth.periodEnds) };
}

/** Groups crossings that look alike. Yields the share done. */
export function* classifyCrossings(reader: ClothReader): Generator<number, CrossingClasses> {
  const { lines, ends } = periodOf(reader);
  const lifts = yield* liftsOf(reader, lines, ends);
  for (const grain of GRAINS) {
    const found = yield* group(reader, lines, ends, lifts, grain, grain === GRAINS[GRAINS.length - 1]);
    if (found) return found;
  }
  throw new Error('far: the coarsest grain takes any cloth');
}

const LINES_PER_PAUSE = 32;

/** 1 where warp lies over weft, 0 where under, 2 where no weft passes. Pauses now and then. */
function* liftsOf(reader: ClothReader, lines: number, ends: number): Generator<number, Uint8Array> {
  const { cloth } = reader;
  const lifts = new Uint8Array(lines * ends);
  for (let line = 0; line < lines; line++) {
    if (line % LINES_PER_PAUSE === 0) yield 0;
    for (let end = 0; end < ends; end++) {
      const row = reader.rowAt(line, end);
      const at = row * THREAD_TEXELS * 4;
      if (end < cloth.rowTable[at + 4] || end > cloth.rowTable[at + 5]) {
        lifts[line * ends + end] = 2;
        continue;
      }
      const node = reader.nodeIndex(row, end);
      const over = fromHalf(cloth.warpNodes[node] & 0xffff) > fromHalf(cloth.weftNodes[node] & 0xffff);
      lifts[line * ends + end] = over ? 1 : 0;
    }
  }
  return lifts;
}

function* group(
  reader: ClothReader,
  lines: number,
  ends: number,
  lifts: Uint8Array,
  grain: Grain,
  last: boolean,
): Generator<number, CrossingClasses | null> {
  const { cloth } = reader;
  const wraps = lines < cloth.lines || ends < cloth.ends;
  const endOf = steps(
    ends,
    cloth.ends,
    grain,
    wraps && ends < cloth.ends,
    (k) => reader.endX(k),
    (k) => cloth.endTable[k * THREAD_TEXELS * 4 + 3],
  );
  const lineOf = steps(
    lines,
    cloth.lines,
    grain,
    wraps && lines < cloth.lines,
    (k) => reader.lineY(k),
    (k) => (cloth.sideBySide ? -1 : cloth.rowTable[k * THREAD_TEXELS * 4 + 3]),
  );
  const known = new Map<number | string, number>();
  const classOf = new Uint8Array(lines * ends);
  const size = new Uint32Array(MOST_CLASSES);
  const members: number[][] = [];
  const liftAt = (line: number, end: number) => {
    if (line < 0 || line >= lines) {
      if (lines === cloth.lines) return 3;
      line = (line + lines) % lines;
    }
    if (end < 0 || end >= ends) {
      if (ends === cloth.ends) return 3;
      end = (end + ends) % ends;
    }
    return lifts[line * ends + end];
  };
  // Crossings at the cloth's border lack neighbours: each takes the class of an inner one of its own lift and yarns.
  const border = (at: number, count: number, all: number) => count === all && all > 8 && (at < 2 || at >= all - 2);
  const inner = new Map<number, number>();
  for (const borders of [false, true]) {
    for (let line = 0; line < lines; line++) {
      for (let end = 0; end < ends; end++) {
        if ((border(line, lines, cloth.lines) || border(end, ends, cloth.ends)) !== borders) continue;
        const at = line * ends + end;
        let across = lineOf.yarn[line];
        let beside = lineOf.index[line];
        if (cloth.sideBySide) {
          across = cloth.rowTable[reader.rowAt(line, end) * THREAD_TEXELS * 4 + 3];
          beside = beside * cloth.materials + across;
        }
        const own = lifts[at] + 4 * (endOf.yarn[end] + cloth.materials * across);
        let found = borders ? inner.get(own) : undefined;
        if (found === undefined) {
          let bits = lifts[at];
          for (let k = 1; k <= grain.along; k++) {
            bits = bits * 256 + liftAt(line - k, end) * 64 + liftAt(line + k, end) * 16 + liftAt(line, end - k) * 4;
            bits += liftAt(line, end + k);
          }
          if (grain.diagonal) {
            bits = bits * 256 + liftAt(line - 1, end - 1) * 64 + liftAt(line - 1, end + 1) * 16;
            bits += liftAt(line + 1, end - 1) * 4 + liftAt(line + 1, end + 1);
          }
          // Exact below 2^53: 26 bits of lifts, the rest for kinds of threads.
          const key = bits + 2 ** 26 * (endOf.index[end] + endOf.count * beside);
          found = known.get(key);
          if (found === undefined) {
            if (members.length >= MOST_CLASSES) {
              if (!last) return null;
              // More pairs of yarns than classes: the rest share the last.
              found = MOST_CLASSES - 1;
            } else {
              found = members.length;
              members.push([]);
            }
            known.set(key, found);
          }
          if (!inner.has(own)) inner.set(own, found);
        }
        classOf[at] = found;
        // Shares are those of the inner cloth, where every class stands for itself.
        if (!borders || size[found] === 0) size[found]++;
        const kept = members[found];
        if (kept.length < MEMBERS) kept.push(at);
        else if (!borders) {
          // Each crossing stays with the same chance (reservoir sampling, Vitter 1985, algorithm R), by a fixed sequence.
          const place = Math.floor(((at * 0.6180339887498949) % 1) * size[found]);
          if (place < MEMBERS) kept[place] = at;
        }
      }
      if (line % 64 === 63) yield line / lines;
    }
  }
  return { lines, ends, classOf, count: members.length, size: size.slice(0, members.length), members };
}

/** Numbers the kinds of threads of one family: its own yarn, the yarns beside it and the pitches either way. */
function steps(
  count: number,
  all: number,
  grain: Grain,
  wraps: boolean,
  position: (k: number) => number,
  material: (k: number) => number,
): { index: Uint32Array; yarn: Uint32Array; count: number } {
  const known = new Map<string, number>();
  const index = new Uint32Array(count);
  const yarn = new Uint32Array(count);
  const pitchStep = (k: number) => {
    if (grain.pitchSteps === 0 || k < 0 || k + 1 >= all) return 0;
    return Math.round(Math.log2(Math.max(1e-6, position(k + 1) - position(k))) * grain.pitchSteps);
  };
  for (let k = 0; k < count; k++) {
    const before = k > 0 ? k - 1 : wraps ? count - 1 : -1;
    const after = k + 1 < all ? k + 1 : -1;
    const yarns = grain.neighbourYarns
      ? [before < 0 ? -1 : material(before), material(k), after < 0 ? -1 : material(after)]
      : [material(k)];
    const key = `${yarns}|${pitchStep(before)}|${pitchStep(k)}`;
    let found = known.get(key);
    if (found === undefined) {
      found = known.size;
      known.set(key, found);
    }
    index[k] = found;
    yarn[k] = Math.max(0, material(k));
  }
  return { index, yarn, count: known.size };
}

/** The k-th member of a class, in the middle of the cloth where it repeats. */
export function memberAt(
  cloth: PackedCloth,
  classes: CrossingClasses,
  index: number,
  k: number,
): { line: number; end: number } {
  const members = classes.members[index];
  const at = members[k % members.length];
  const middle = (count: number, period: number) => Math.floor((count / period - 1) / 2) * period;
  return {
    line: Math.floor(at / classes.ends) + middle(cloth.lines, classes.lines),
    end: (at % classes.ends) + middle(cloth.ends, classes.ends),
  };
}

/** Crossings that the sizes of classes add up to. */
export function allOf(classes: CrossingClasses): number {
  return classes.size.reduce((sum, size) => sum + size, 0);
}
