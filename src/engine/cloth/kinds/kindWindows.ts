import { rowsPerPause } from '#engine/cloth/pauses.ts';

/** Part of a cloth: rows firstRow .. lastRow and ends firstEnd .. lastEnd, both included. */
interface Part {
  readonly firstRow: number;
  readonly lastRow: number;
  readonly firstEnd: number;
  readonly lastEnd: number;
}

/** A window to solve, and the crossings in it that stand for others: those that its own border does not reach. */
export interface KindWindow extends Part {
  readonly inner: Part;
}

/** Rows and ends of a window's inner part, and beyond it where the cloth goes on. */
const INNER = 48;
const HALO = 8;

export interface ChosenWindows {
  readonly windows: readonly KindWindow[];
  /** Per kind, a crossing that stands for it, row-major over the whole cloth; −1 where none does. */
  readonly standsFor: Int32Array;
  /** Share of the crossings that have one. */
  readonly share: number;
}

function innerPart(number: number, across: number, rows: number, ends: number): Part {
  const firstRow = Math.floor(number / across) * INNER;
  const firstEnd = (number % across) * INNER;
  return {
    firstRow,
    lastRow: Math.min(rows, firstRow + INNER) - 1,
    firstEnd,
    lastEnd: Math.min(ends, firstEnd + INNER) - 1,
  };
}

function withHalo(inner: Part, rows: number, ends: number): KindWindow {
  return {
    inner,
    firstRow: Math.max(0, inner.firstRow - HALO),
    lastRow: Math.min(rows - 1, inner.lastRow + HALO),
    firstEnd: Math.max(0, inner.firstEnd - HALO),
    lastEnd: Math.min(ends - 1, inner.lastEnd + HALO),
  };
}

/** The window about a crossing. */
export function partOf(crossing: number, rows: number, ends: number): KindWindow {
  const across = Math.ceil(ends / INNER);
  const number = Math.floor(Math.floor(crossing / ends) / INNER) * across + Math.floor((crossing % ends) / INNER);
  return withHalo(innerPart(number, across, rows, ends), rows, ends);
}

/**
 * Windows that hold as many crossings' kinds as so many windows can, the greatest gain first (greedy cover: G. L. Nemhauser,
 * L. A. Wolsey & M. L. Fisher 1978, Math. Program. 14, 265: at least 63 % of the best). Pauses now and then.
 * @param enough share of the crossings whose kinds are held at which to stop
 */
export function* chooseKindWindows(
  kindOf: Uint32Array,
  kinds: number,
  rows: number,
  ends: number,
  most: number,
  enough: number,
): Generator<void, ChosenWindows> {
  const across = Math.ceil(ends / INNER);
  const parts = across * Math.ceil(rows / INNER);
  const counts = new Uint32Array(kinds);
  const standsFor = new Int32Array(kinds).fill(-1);
  const seen = new Int32Array(kinds).fill(-1);
  let stamp = 0;
  /** Crossings of the cloth whose kinds a part holds and no window does yet. */
  const gainOf = (part: Part): number => {
    stamp++;
    let gain = 0;
    for (let row = part.firstRow; row <= part.lastRow; row++) {
      for (let k = row * ends + part.firstEnd; k <= row * ends + part.lastEnd; k++) {
        const kind = kindOf[k];
        if (seen[kind] === stamp || standsFor[kind] >= 0) continue;
        seen[kind] = stamp;
        gain += counts[kind];
      }
    }
    return gain;
  };
  for (let k = 0; k < kindOf.length; k++) counts[kindOf[k]]++;
  yield;
  const gains = new Float64Array(parts);
  const step = Math.max(1, Math.floor(rowsPerPause(INNER) / INNER));
  for (let number = 0; number < parts; number++) {
    if (number % step === step - 1) yield;
    gains[number] = gainOf(innerPart(number, across, rows, ends));
  }
  const windows: KindWindow[] = [];
  let held = 0;
  while (windows.length < most && held < enough * kindOf.length) {
    let best = bestOf(gains);
    // Gains only fall: the best of old ones is the best where it stays so, looked at anew.
    for (;;) {
      gains[best] = gainOf(innerPart(best, across, rows, ends));
      const next = bestOf(gains);
      if (next === best) break;
      best = next;
    }
    if (gains[best] === 0) break;
    held += gains[best];
    gains[best] = 0;
    const inner = innerPart(best, across, rows, ends);
    windows.push(withHalo(inner, rows, ends));
    for (let row = inner.firstRow; row <= inner.lastRow; row++)
      for (let k = row * ends + inner.firstEnd; k <= row * ends + inner.lastEnd; k++)
        if (standsFor[kindOf[k]] < 0) standsFor[kindOf[k]] = k;
    yield;
  }
  return { windows, standsFor, share: held / kindOf.length };
}

function bestOf(gains: Float64Array): number {
  let best = 0;
  for (let k = 1; k < gains.length; k++) if (gains[k] > gains[best]) best = k;
  return best;
}
