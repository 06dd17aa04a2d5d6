import type { Drawdown } from '#engine/draft/drawdown.ts';
import { transpose } from '#engine/draft/transformDrawdown.ts';
import type { Extent } from './interlacement.ts';

export interface FloatPlace {
  /** First crossing of the float, counted from 0. In a repeat the float may run on past the edge to the other side. */
  readonly row: number;
  readonly end: number;
}

export interface FloatStatistics {
  /** Crossings passed over by the longest float; Infinity where a thread of a repeat never changes side; 0 for none. */
  readonly longest: number;
  readonly longestAt: FloatPlace | null;
  /** histogram[n]: floats over exactly n crossings (1 being an ordinary interlacing); endless ones are not in it. */
  readonly histogram: Uint32Array;
  /** Threads of a repeat that never leave this side. */
  readonly endless: number;
}

/** Floats of both systems on both faces. A warp float on the face is a run of picks that one end lies over. */
export interface Floats {
  readonly warpOnFace: FloatStatistics;
  readonly warpOnBack: FloatStatistics;
  readonly weftOnFace: FloatStatistics;
  readonly weftOnBack: FloatStatistics;
}

/** Threads that lie on one side from edge to edge: nothing holds them. */
export function endlessThreads(drawdown: Drawdown): number {
  return Object.values(measureFloats(drawdown)).reduce((sum, side) => sum + side.endless, 0);
}

export function measureFloats(drawdown: Drawdown, extent: Extent = 'repeat'): Floats {
  const across = measureLines(drawdown, extent);
  const along = measureLines(transpose(drawdown), extent);
  return {
    warpOnFace: statistics(along.ones, (line, start) => ({ row: start, end: line })),
    warpOnBack: statistics(along.zeros, (line, start) => ({ row: start, end: line })),
    weftOnFace: statistics(across.zeros, (line, start) => ({ row: line, end: start })),
    weftOnBack: statistics(across.ones, (line, start) => ({ row: line, end: start })),
  };
}

interface Tally {
  readonly histogram: Uint32Array;
  longest: number;
  line: number;
  start: number;
  endless: number;
}

function measureLines(lines: Drawdown, extent: Extent): { ones: Tally; zeros: Tally } {
  const { rows, ends, wordsPerRow: width, bits } = lines;
  const tally = (): Tally => ({ histogram: new Uint32Array(ends + 1), longest: 0, line: -1, start: -1, endless: 0 });
  const ones = tally();
  const zeros = tally();
  if (ends === 0) return { ones, zeros };
  for (let line = 0; line < rows; line++) {
    const base = line * width;
    const firstSide = bits[base] & 1;
    let side = firstSide;
    let start = 0;
    let firstChange = -1;
    let before = firstSide;
    for (let word = 0; word < width; word++) {
      const here = bits[base + word] | 0;
      let changes = here ^ ((here << 1) | before);
      before = here >>> 31;
      while (changes !== 0) {
        const at = word * 32 + 31 - Math.clz32(changes & -changes);
        changes &= changes - 1;
        // Beyond the last end all bits are 0; a change there is none of the cloth's.
        if (at >= ends) break;
        if (firstChange < 0) firstChange = at;
        if (start > 0 || extent === 'piece') count(side ? ones : zeros, line, start, at - start);
        start = at;
        side ^= 1;
      }
    }
    if (firstChange < 0 && extent === 'repeat') countEndless(side ? ones : zeros, line);
    else if (extent === 'piece') count(side ? ones : zeros, line, start, ends - start);
    // A repeat's first run belongs to its last where they are of one side, and else stands alone before it.
    else if (side === firstSide) count(side ? ones : zeros, line, start, ends - start + firstChange);
    else {
      count(firstSide ? ones : zeros, line, 0, firstChange);
      count(side ? ones : zeros, line, start, ends - start);
    }
  }
  return { ones, zeros };
}

function count(tally: Tally, line: number, start: number, length: number): void {
  tally.histogram[length]++;
  if (length <= tally.longest) return;
  tally.longest = length;
  tally.line = line;
  tally.start = start;
}

function countEndless(tally: Tally, line: number): void {
  tally.endless++;
  if (tally.longest === Number.POSITIVE_INFINITY) return;
  tally.longest = Number.POSITIVE_INFINITY;
  tally.line = line;
  tally.start = 0;
}

function statistics(tally: Tally, place: (line: number, start: number) => FloatPlace): FloatStatistics {
  return {
    longest: tally.longest,
    longestAt: tally.line < 0 ? null : place(tally.line, tally.start),
    histogram: tally.histogram,
    endless: tally.endless,
  };
}
