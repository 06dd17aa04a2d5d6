import type { Drawdown } from '#engine/draft/drawdown.ts';
import { popcount32 } from '#engine/draft/shaftSet.ts';
import { lastWordMask, transpose } from '#engine/draft/transformDrawdown.ts';

/**
 * `repeat`: the drawdown is one repeat of a cloth that goes on, so its last thread meets its first again.
 * `piece`: it is the whole cloth.
 */
export type Extent = 'repeat' | 'piece';

/** Per pick: how many ends have warp up. */
export function endsUpPerPick(drawdown: Drawdown): Uint32Array {
  const { rows, wordsPerRow: width } = drawdown;
  // A signed view: the same bits, without the detour through floating point that unsigned words take.
  const bits = new Int32Array(drawdown.bits.buffer, drawdown.bits.byteOffset, drawdown.bits.length);
  const counts = new Uint32Array(rows);
  for (let row = 0; row < rows; row++) {
    let sum = 0;
    for (let word = row * width; word < (row + 1) * width; word++) sum += popcount32(bits[word]);
    counts[row] = sum;
  }
  return counts;
}

/** Per end: over how many picks it lies. */
export function picksBelowPerEnd(drawdown: Drawdown): Uint32Array {
  return endsUpPerPick(transpose(drawdown));
}

/** Per pick: how often its weft changes side on its way across. */
export function interlacementsPerPick(drawdown: Drawdown, extent: Extent = 'repeat'): Uint32Array {
  const { rows, ends, wordsPerRow: width, bits } = drawdown;
  const counts = new Uint32Array(rows);
  if (ends === 0) return counts;
  const mask = lastWordMask(ends);
  const lastWord = width - 1;
  const lastBit = (ends - 1) & 31;
  for (let row = 0; row < rows; row++) {
    const start = row * width;
    // The bit before each end's: before the first end stands itself, or the last end where the cloth repeats.
    let before = (extent === 'repeat' ? bits[start + lastWord] >>> lastBit : bits[start]) & 1;
    let sum = 0;
    for (let word = 0; word < width; word++) {
      const here = bits[start + word] | 0;
      const changes = here ^ ((here << 1) | before);
      sum += popcount32(word === lastWord ? changes & mask : changes);
      before = here >>> 31;
    }
    counts[row] = sum;
  }
  return counts;
}

/** Per end: how often it changes side on its way up the cloth. */
export function interlacementsPerEnd(drawdown: Drawdown, extent: Extent = 'repeat'): Uint32Array {
  return interlacementsPerPick(transpose(drawdown), extent);
}

/** Per pick: how many ends change side between the pick before it and this one; 0 for the first pick of a piece. */
export function endsChangingSide(drawdown: Drawdown, extent: Extent = 'repeat'): Uint32Array {
  const { rows, wordsPerRow: width, bits } = drawdown;
  const counts = new Uint32Array(rows);
  for (let row = extent === 'repeat' ? 0 : 1; row < rows; row++) {
    const here = row * width;
    const before = ((row + rows - 1) % rows) * width;
    let sum = 0;
    for (let word = 0; word < width; word++) sum += popcount32(bits[here + word] ^ bits[before + word]);
    counts[row] = sum;
  }
  return counts;
}

export interface WeaveFirmness {
  /** Changes of side per crossing, warp and weft together: 2 for plain weave. */
  readonly crossingOverFirmness: number;
  /** Crossings floated over beyond one, per crossing; the two sum to 2 unless a thread never changes side. */
  readonly floatingYarn: number;
}

/**
 * Crossing-over firmness and floating-yarn factor of a repeat (H. Morino, M. Matsudaira & M. Furutani 2005, Text. Res. J.
 * 75, 252; definitions from memory). A thread that never changes side counts as one float of the whole repeat.
 */
export function weaveFirmness(drawdown: Drawdown): WeaveFirmness {
  const crossings = drawdown.rows * drawdown.ends;
  let changes = 0;
  let floats = 0;
  for (const count of interlacementsPerPick(drawdown)) {
    changes += count;
    floats += Math.max(1, count);
  }
  for (const count of interlacementsPerEnd(drawdown)) {
    changes += count;
    floats += Math.max(1, count);
  }
  return { crossingOverFirmness: changes / crossings, floatingYarn: (2 * crossings - floats) / crossings };
}
