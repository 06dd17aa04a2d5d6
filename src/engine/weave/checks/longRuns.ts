import type { Drawdown } from '#engine/draft/drawdown.ts';
import { lastWordMask } from '#engine/draft/transformDrawdown.ts';

/** Told of a run of crossings of one side along a line, a float: `up` 1 where the line's marks are set. */
export type RunFound = (line: number, from: number, length: number, up: 0 | 1) => void;

/**
 * Every run of at least `least` equal marks along the lines of a piece. Lines are worn away from the right, a doubled
 * distance at a time and 32 crossings together, until only places are left at which so long a run begins; most lines
 * then hold none.
 * @param only these lines, where not all are to be looked at.
 * @param within first and last crossing (inclusive) of a line, where it does not run from edge to edge.
 */
export function longRuns(
  lines: Drawdown,
  least: number,
  found: RunFound,
  within?: { readonly first: ArrayLike<number>; readonly last: ArrayLike<number> },
  only?: ArrayLike<number>,
): void {
  const { ends, wordsPerRow: width } = lines;
  const bits = new Int32Array(lines.bits.buffer, lines.bits.byteOffset, lines.bits.length);
  if (ends < least) return;
  const row = new Int32Array(width);
  const spanMask = new Int32Array(width);
  const mask = lastWordMask(ends);
  spanMask.fill(-1);
  spanMask[width - 1] = mask;
  const count = only ? only.length : lines.rows;
  for (let k = 0; k < count; k++) {
    const line = only ? only[k] : k;
    const first = within ? within.first[line] : 0;
    const last = within ? within.last[line] : ends - 1;
    for (const up of [1, 0] as const) {
      const start = line * width;
      for (let word = 0; word < width; word++)
        row[word] = (up ? bits[start + word] : ~bits[start + word]) & spanMask[word];
      if (first > 0 || last < ends - 1) keepSpan(row, first, last);
      if (wear(row, least)) report(row, line, least, up, found);
    }
  }
}

function keepSpan(row: Int32Array, first: number, last: number): void {
  for (let word = 0; word < row.length; word++) {
    const low = first - 32 * word;
    const high = last - 32 * word;
    if (low >= 32 || high < 0) row[word] = 0;
    else {
      if (low > 0) row[word] &= -1 << low;
      if (high < 31) row[word] &= (1 << (high + 1)) - 1;
    }
  }
}

/** Keeps a mark only where it and the `least` − 1 after it are set. Says whether any is left. */
function wear(row: Int32Array, least: number): boolean {
  let done = 1;
  let any = 0;
  while (done < least) {
    const step = Math.min(done, least - done);
    any = 0;
    const words = step >>> 5;
    const bit = step & 31;
    for (let word = 0; word < row.length; word++) {
      const near = row[word + words] ?? 0;
      const shifted = bit === 0 ? near : (near >>> bit) | ((row[word + words + 1] ?? 0) << (32 - bit));
      row[word] &= shifted;
      any |= row[word];
    }
    if (any === 0) return false;
    done += step;
  }
  return least > 1 || row.some((word) => word !== 0);
}

function report(row: Int32Array, line: number, least: number, up: 0 | 1, found: RunFound): void {
  let from = -1;
  let next = -1;
  for (let word = 0; word < row.length; word++) {
    for (let rest = row[word]; rest !== 0; rest &= rest - 1) {
      const at = 32 * word + 31 - Math.clz32(rest & -rest);
      if (at !== next) {
        if (from >= 0) found(line, from, next - from + least - 1, up);
        from = at;
      }
      next = at + 1;
    }
  }
  if (from >= 0) found(line, from, next - from + least - 1, up);
}
