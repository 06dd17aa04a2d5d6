import type { Drawdown } from '#engine/draft/drawdown.ts';
import { popcount32 } from '#engine/draft/shaftSet.ts';
import { type CheckedCloth, type Finding, MOST_PLACES, type Place } from './checkTypes.ts';
import { passesWhole } from './warpLines.ts';

/** Lines looked at together, and how far the look moves on: each line is seen in two looks. */
const LOOK = 16;
const STEP = 8;
/** Lines and threads across that a layer must have in a look to be called one. */
const LEAST_LINES = 4;
const LEAST_ACROSS = 4;
/** Threads across that may lie between the layers all along a look, as where one does not interlace there. */
const MOST_BETWEEN = 4;
/** A cloth with more joins than this is stitched, however unevenly. */
const MOST_JOINS = 100;

/**
 * Picks (and ends) that join two layers which lie apart without them, and do not do so regularly, as planned stitching
 * does. In a look of 16 picks × 32 ends the layers lie apart where some picks' raised ends are all among those that every
 * other pick raises: the first weave above, the others below. A pick is a join where that holds without it only. Two
 * picks that join the layers within one look hide each other.
 */
export function findJoins(cloth: CheckedCloth, columns: Drawdown): Finding[] {
  // A weft that passes part of the width is laid by hand, and joins what it is meant to.
  if (!passesWhole(cloth)) return [];
  const picks = joinsAlong(cloth.drawdown);
  const ends = joinsAlong(columns);
  const findings: Finding[] = [];
  const tell = (system: 'warp' | 'weft', joins: Joins, place: (line: number, from: number, to: number) => Place) => {
    const lines = unplanned([...joins.keys()].sort((a, b) => a - b));
    if (lines.length === 0) return;
    const places = lines.slice(0, MOST_PLACES).map((line) => {
      const { from, to } = joins.get(line) ?? { from: 0, to: 0 };
      return place(line, from, to);
    });
    findings.push({ kind: 'joinsLayers', weight: 'mistake', system, count: lines.length, places });
  };
  tell('weft', picks, (line, from, to) => ({ fromRow: line, toRow: line, fromEnd: from, toEnd: to }));
  tell('warp', ends, (line, from, to) => ({ fromRow: from, toRow: to, fromEnd: line, toEnd: line }));
  return findings;
}

type Joins = Map<number, { from: number; to: number }>;

function joinsAlong(lines: Drawdown): Joins {
  const { rows, ends, wordsPerRow: width } = lines;
  const bits = new Int32Array(lines.bits.buffer, lines.bits.byteOffset, lines.bits.length);
  const joins: Joins = new Map();
  const look = createLook();
  const full = ends >>> 5;
  for (let word = 0; word < full; word++) {
    for (let step = 0; rows >= LOOK; step += STEP) {
      const start = Math.min(step, rows - LOOK);
      const at = look(bits, start * width + word, width);
      if (at >= 0) {
        const line = start + at;
        const from = 32 * word;
        const known = joins.get(line);
        joins.set(line, { from: Math.min(from, known?.from ?? from), to: Math.max(from + 31, known?.to ?? 0) });
      }
      if (start === rows - LOOK) break;
    }
  }
  return joins;
}

/** Looks at 16 words and says which of them joins two layers; −1 where none does. */
function createLook() {
  const words = new Int32Array(LOOK);
  const counts = new Int32Array(LOOK);
  const order = new Int32Array(LOOK);
  const suffix = new Int32Array(LOOK + 1);

  /** Whether the lines, all but one, make two layers. */
  const apart = (without: number): boolean => {
    suffix[LOOK] = -1;
    for (let k = LOOK - 1; k >= 0; k--)
      suffix[k] = order[k] === without ? suffix[k + 1] : suffix[k + 1] & words[order[k]];
    let raised = 0;
    let light = 0;
    const lines = without < 0 ? LOOK : LOOK - 1;
    for (let k = 0; k < LOOK; k++) {
      if (order[k] === without) continue;
      raised |= words[order[k]];
      light++;
      const heavy = suffix[k + 1];
      if (light < LEAST_LINES || lines - light < LEAST_LINES || (raised & ~heavy) !== 0) continue;
      if (popcount32(heavy & ~raised) > MOST_BETWEEN) continue;
      const above = popcount32(raised);
      if (above >= LEAST_ACROSS && above <= 32 - LEAST_ACROSS) return true;
    }
    return false;
  };

  return (bits: Int32Array, first: number, width: number): number => {
    let [light, light2, heavy, heavy2] = [0, -1, 0, -1];
    for (let k = 0; k < LOOK; k++) {
      const word = bits[first + k * width];
      const count = popcount32(word);
      words[k] = word;
      counts[k] = count;
      if (k === 0) continue;
      if (count < counts[light]) [light, light2] = [k, light];
      else if (light2 < 0 || count < counts[light2]) light2 = k;
      if (count > counts[heavy]) [heavy, heavy2] = [k, heavy];
      else if (heavy2 < 0 || count > counts[heavy2]) heavy2 = k;
    }
    // One line alone can spoil one of two pairs only: most weaves are seen through here.
    if ((words[light] & ~words[heavy]) !== 0 && (words[light2] & ~words[heavy2]) !== 0) return -1;
    for (let k = 0; k < LOOK; k++) {
      let at = k;
      while (at > 0 && counts[order[at - 1]] > counts[k]) {
        order[at] = order[at - 1];
        at--;
      }
      order[at] = k;
    }
    if (apart(-1)) return -1;
    for (let k = 0; k < LOOK; k++) if (apart(k)) return k;
    return -1;
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
