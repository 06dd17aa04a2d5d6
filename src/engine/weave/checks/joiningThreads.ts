import type { Drawdown } from '#engine/draft/drawdown.ts';
import { popcount32 } from '#engine/draft/shaftSet.ts';
import { type CheckedCloth, type Finding, MOST_PLACES, type Place } from './checkTypes.ts';
import type { ThreadLines } from './longFloats.ts';
import { passesWhole } from './warpLines.ts';

/** Lines looked at together, and how far the look moves on: each line is seen in two looks. */
const LOOK = 16;
const STEP = 8;
/** Threads across a look, and how far it moves on across: half of a pocket of 24 threads is seen for itself. */
const ACROSS = 16;
const LANE = 8;
const LANES = 32 / LANE;
/** Lines and threads across that a layer must have in a look to be called one. */
const LEAST_LINES = 4;
const LEAST_ACROSS = 4;
/** Threads across that may lie between the layers all along a look, as where one does not interlace there. */
const MOST_BETWEEN = 2;
/** Where layers take turns after three lines or fewer, five neighbours nest in a look, two of which a join may spoil. */
const LEAST_NESTED = 3;
/** Two joins are looked for only where layers take turns line by line, of whose fifteen neighbours two joins spoil four. */
const LEAST_NESTED_FOR_TWO = 10;
/** A cloth with more joins than this is stitched, however unevenly. */
const MOST_JOINS = 100;
/** A cloth of which so much lies in layers place by place is a layered one. */
const LAYERED_SHARE = 0.2;

/** What the looks saw. */
export interface JoinsSeen {
  readonly findings: Finding[];
  /** Whether much of the cloth lies in layers, be it that they change places. */
  readonly layered: boolean;
}

/**
 * Picks (and ends) that join two layers which lie apart without them, and do not do so again, as planned stitching does. In
 * a look of 16 picks × 16 ends the layers lie apart where some picks' raised ends are all among those that every other
 * pick raises: the first weave above, the others below. A pick is a join where that holds without it only; two picks are
 * where it holds without both only, looked for where layers take turns line by line. More within one look hide each other.
 */
export function findJoins(cloth: CheckedCloth, { columns, ends, picks }: ThreadLines): JoinsSeen {
  // A weft that passes part of the width is laid by hand, and joins what it is meant to.
  if (!passesWhole(cloth)) return { findings: [], layered: false };
  const weft = joinsAlong(cloth.drawdown);
  const warp = joinsAlong(columns);
  const findings: Finding[] = [];
  const tell = (
    system: 'warp' | 'weft',
    { joins }: Seen,
    classOf: ArrayLike<number>,
    place: (line: number, from: number, to: number) => Place,
  ) => {
    const regular = new Set(unplanned([...joins.keys()].sort((a, b) => a - b)));
    const once = [...joins.keys()]
      .filter((line) => regular.has(line) && standsAlone(classOf, line))
      .sort((a, b) => a - b);
    if (once.length === 0) return;
    const places = once.slice(0, MOST_PLACES).map((line) => {
      const { from, to } = joins.get(line) ?? { from: 0, to: 0 };
      return place(line, from, to);
    });
    // Where other threads move like it, it may be meant for once.
    const alone = once.some((line) => countOf(classOf, line) === 1);
    findings.push({ kind: 'joinsLayers', weight: alone ? 'mistake' : 'look', system, count: once.length, places });
  };
  tell('weft', weft, picks.classOf, (line, from, to) => ({ fromRow: line, toRow: line, fromEnd: from, toEnd: to }));
  tell('warp', warp, ends.classOf, (line, from, to) => ({ fromRow: from, toRow: to, fromEnd: line, toEnd: line }));
  return { findings, layered: weft.layeredShare > LAYERED_SHARE };
}

/** Whether no other line moves like it between two that move like its neighbours: what is planned comes again. */
function standsAlone(classOf: ArrayLike<number>, line: number): boolean {
  const [before, here, after] = [classOf[line - 1], classOf[line], classOf[line + 1]];
  for (let other = 0; other < classOf.length; other++) {
    if (other === line || classOf[other] !== here) continue;
    if (classOf[other - 1] === before && classOf[other + 1] === after) return false;
  }
  return true;
}

function countOf(classOf: ArrayLike<number>, line: number): number {
  let count = 0;
  for (let other = 0; other < classOf.length; other++) if (classOf[other] === classOf[line]) count++;
  return count;
}

interface Seen {
  readonly joins: Map<number, { from: number; to: number }>;
  readonly layeredShare: number;
}

function joinsAlong(lines: Drawdown): Seen {
  const { rows, ends, wordsPerRow: width } = lines;
  const bits = new Int32Array(lines.bits.buffer, lines.bits.byteOffset, lines.bits.length);
  const joins: Seen['joins'] = new Map();
  const look = createLook();
  const words = new Int32Array(LOOK);
  const nesting = createNesting(bits, rows, width);
  let looks = 0;
  let layered = 0;
  for (let word = 0; rows >= LOOK && 32 * word + ACROSS <= ends; word++) {
    const nestedUpTo = nesting(word);
    for (let lane = 0; lane < LANES; lane++) {
      const from = 32 * word + lane * LANE;
      if (from + ACROSS > ends) break;
      const shift = lane * LANE;
      const base = lane * rows;
      for (let step = 0; ; step += STEP) {
        const start = Math.min(step, rows - LOOK);
        looks++;
        const nested = nestedUpTo[base + start + LOOK - 1] - nestedUpTo[base + start];
        if (nested >= LEAST_NESTED) {
          for (let k = 0; k < LOOK; k++) {
            const at = (start + k) * width + word;
            const low = bits[at] >>> shift;
            words[k] = (shift + ACROSS > 32 ? low | (bits[at + 1] << (32 - shift)) : low) & 0xffff;
          }
          const found = look(words, nested >= LEAST_NESTED_FOR_TWO);
          if (found === APART) layered++;
          for (const line of linesOf(found)) {
            const known = joins.get(start + line);
            joins.set(start + line, {
              from: Math.min(from, known?.from ?? from),
              to: Math.max(from + ACROSS - 1, known?.to ?? 0),
            });
          }
        }
        if (start === rows - LOOK) break;
      }
    }
  }
  return { joins, layeredShare: looks === 0 ? 0 : layered / looks };
}

/**
 * For a word of the lines and each of its four lanes (16 threads from a byte on): lane * rows + row holds how many lines
 * up to that row nest with the one before them, all that one raises being raised by the other. Four bytes are compared
 * together (H. S. Warren, Hacker’s Delight, 6-1: finding a zero byte).
 */
function createNesting(bits: Int32Array, rows: number, width: number): (word: number) => Int32Array {
  const upTo = new Int32Array(LANES * rows);
  const zeroBytes = (value: number) => ~(((value & 0x7f7f7f7f) + 0x7f7f7f7f) | value | 0x7f7f7f7f);
  return (word) => {
    const more = word + 1 < width;
    for (let lane = 0; lane < LANES; lane++) upTo[lane * rows] = 0;
    for (let row = 1; row < rows; row++) {
      const at = row * width + word;
      const [above, below] = [bits[at] & ~bits[at - width], bits[at - width] & ~bits[at]];
      const [a, b] = [zeroBytes(above), zeroBytes(below)];
      const aNext = more ? zeroBytes(bits[at + 1] & ~bits[at + 1 - width]) : 0;
      const bNext = more ? zeroBytes(bits[at + 1 - width] & ~bits[at + 1]) : 0;
      // Bit 7 of each byte: this byte and the one after it are nested one way, and not alike.
      const oneWay = a & ((a >>> 8) | (aNext << 24));
      const otherWay = b & ((b >>> 8) | (bNext << 24));
      const nested = oneWay ^ otherWay;
      for (let lane = 0; lane < LANES; lane++) {
        const to = lane * rows + row;
        upTo[to] = upTo[to - 1] + ((nested >>> (8 * lane + 7)) & 1);
      }
    }
    return upTo;
  };
}

/** What a look says beside the lines that join: none does, or the layers lie apart as they are. */
const NONE = -1;
const APART = -2;

/** One line that joins is told as its number, two as (first + 1) * 16 + second. */
function linesOf(found: number): readonly number[] {
  if (found < 0) return [];
  return found < LOOK ? [found] : [Math.floor(found / LOOK) - 1, found % LOOK];
}
/** Looks that are remembered: weaves repeat, so that few differ. */
const MOST_REMEMBERED = 20_000;

/** Looks at 16 lines and says which of them join two layers. */
function createLook(): (words: Int32Array, perhapsTwo: boolean) => number {
  const counts = new Int32Array(LOOK);
  const order = new Int32Array(LOOK);
  const suffix = new Int32Array(LOOK + 1);
  const known = new Map<number, number>();
  let lines: Int32Array = new Int32Array(LOOK);

  /** Whether the lines, but for those left out (a bit each), make two layers. */
  const apart = (without: number): boolean => {
    suffix[LOOK] = 0xffff;
    for (let k = LOOK - 1; k >= 0; k--) {
      suffix[k] = (without >>> order[k]) & 1 ? suffix[k + 1] : suffix[k + 1] & lines[order[k]];
    }
    let raised = 0;
    let light = 0;
    const all = LOOK - popcount32(without);
    for (let k = 0; k < LOOK; k++) {
      if ((without >>> order[k]) & 1) continue;
      raised |= lines[order[k]];
      light++;
      const heavy = suffix[k + 1];
      if (light < LEAST_LINES || all - light < LEAST_LINES || (raised & ~heavy) !== 0) continue;
      if (popcount32(heavy & ~raised) > MOST_BETWEEN) continue;
      const above = popcount32(raised);
      if (above >= LEAST_ACROSS && above <= ACROSS - LEAST_ACROSS) return true;
    }
    return false;
  };

  const look = (perhapsTwo: boolean): number => {
    for (let k = 0; k < LOOK; k++) {
      const count = popcount32(lines[k]);
      counts[k] = count;
      let at = k;
      while (at > 0 && counts[order[at - 1]] > count) {
        order[at] = order[at - 1];
        at--;
      }
      order[at] = k;
    }
    if (apart(0)) return APART;
    for (let k = 0; k < LOOK; k++) if (apart(1 << k)) return k;
    if (!perhapsTwo) return NONE;
    for (let a = 0; a < LOOK; a++) {
      for (let b = a + 1; b < LOOK; b++) if (apart((1 << a) | (1 << b))) return (a + 1) * LOOK + b;
    }
    return NONE;
  };

  return (words, perhapsTwo) => {
    // Two multiplicative hashes, 53 bits of them: two looks of one cloth are taken for each other once in ten million cloths.
    let [one, two] = [0x811c9dc5 | 0, 0x2545f491];
    for (let k = 0; k < LOOK; k++) {
      one = Math.imul(one ^ words[k], 0x01000193) ^ (one >>> 15);
      two = Math.imul(two ^ words[k], 0x85ebca6b) ^ (two >>> 13);
    }
    const key = (one >>> 0) * 0x200000 + (two >>> 11);
    const before = known.get(key);
    if (before !== undefined) return before;
    lines = words;
    const said = look(perhapsTwo);
    if (known.size < MOST_REMEMBERED) known.set(key, said);
    return said;
  };
}

/** Lines that no two others stand at equal distances from: joining again and again is planned. */
export function unplanned(lines: readonly number[]): number[] {
  const all = new Set(lines);
  if (lines.length > MOST_JOINS) return [];
  return lines.filter((line) => {
    for (const other of lines) {
      const gap = Math.abs(other - line);
      if (gap === 0) continue;
      if (all.has(line + gap) && (all.has(line - gap) || all.has(line + 2 * gap))) return false;
      if (all.has(line - gap) && all.has(line - 2 * gap)) return false;
    }
    return true;
  });
}
