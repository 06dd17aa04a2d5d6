import { PART_ENDS, partsAcross } from './kindBands.ts';
import type { NumberedBand } from './numberBand.ts';

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

/** Rows and ends that a window has beyond its inner part where the cloth goes on. */
const HALO = 8;

/** Kinds of a cloth's crossings, band by band. */
export interface NumberedCloth {
  readonly rows: number;
  readonly ends: number;
  /** First rows of the bands, and the count of rows. */
  readonly cuts: readonly number[];
  readonly bands: readonly NumberedBand[];
  /** Per band, the cloth's numbers of its kinds. */
  readonly globalOf: readonly Uint32Array[];
  readonly kinds: number;
}

export interface ChosenWindows {
  readonly windows: readonly KindWindow[];
  /** Per kind, a crossing that stands for it, row-major over the whole cloth; −1 where none does. */
  readonly standsFor: Int32Array;
  /** Share of the crossings that have one. */
  readonly share: number;
}

/** The window about a part of a band. */
function windowOf({ cuts, rows, ends }: Pick<NumberedCloth, 'cuts' | 'rows' | 'ends'>, band: number, part: number) {
  const inner: Part = {
    firstRow: cuts[band],
    lastRow: cuts[band + 1] - 1,
    firstEnd: part * PART_ENDS,
    lastEnd: Math.min(ends, (part + 1) * PART_ENDS) - 1,
  };
  return {
    inner,
    firstRow: Math.max(0, inner.firstRow - HALO),
    lastRow: Math.min(rows - 1, inner.lastRow + HALO),
    firstEnd: Math.max(0, inner.firstEnd - HALO),
    lastEnd: Math.min(ends - 1, inner.lastEnd + HALO),
  };
}

/** The window about a crossing. */
export function windowAbout(cloth: Pick<NumberedCloth, 'cuts' | 'rows' | 'ends'>, crossing: number): KindWindow {
  const row = Math.floor(crossing / cloth.ends);
  const band = cloth.cuts.findLastIndex((cut) => cut <= row);
  return windowOf(cloth, band, Math.floor((crossing % cloth.ends) / PART_ENDS));
}

/**
 * Windows that hold as many crossings' kinds as so many windows can, the greatest gain first (greedy cover: G. L. Nemhauser,
 * L. A. Wolsey & M. L. Fisher 1978, Math. Program. 14, 265: at least 63 % of the best). Pauses now and then.
 * @param enough share of the crossings whose kinds are held at which to stop
 */
export function* chooseKindWindows(cloth: NumberedCloth, most: number, enough: number): Generator<void, ChosenWindows> {
  const { rows, ends, cuts, bands, globalOf, kinds } = cloth;
  const across = partsAcross(ends);
  const counts = new Uint32Array(kinds);
  const standsFor = new Int32Array(kinds).fill(-1);
  bands.forEach((band, number) => {
    const of = globalOf[number];
    for (let kind = 0; kind < of.length; kind++) counts[of[kind]] += band.counts[kind];
  });
  /** Crossings of the cloth whose kinds a part holds and no window does yet. */
  const gainOf = (at: number): number => {
    const { partStart, partKinds } = bands[Math.floor(at / across)];
    const of = globalOf[Math.floor(at / across)];
    const part = at % across;
    let gain = 0;
    for (let k = partStart[part]; k < partStart[part + 1]; k++) {
      const kind = of[partKinds[k]];
      if (standsFor[kind] < 0) gain += counts[kind];
    }
    return gain;
  };
  const gains = new Float64Array(across * bands.length);
  for (let at = 0; at < gains.length; at++) {
    if (at % across === across - 1) yield;
    gains[at] = gainOf(at);
  }
  const windows: KindWindow[] = [];
  let held = 0;
  while (windows.length < most && held < enough * rows * ends) {
    let best = bestOf(gains);
    // Gains only fall: the best of old ones is the best where it stays so, looked at anew.
    for (;;) {
      gains[best] = gainOf(best);
      const next = bestOf(gains);
      if (next === best) break;
      best = next;
    }
    if (gains[best] === 0) break;
    held += gains[best];
    gains[best] = 0;
    const number = Math.floor(best / across);
    const part = best % across;
    windows.push(windowOf(cloth, number, part));
    const { partStart, partKinds, partFirst } = bands[number];
    for (let k = partStart[part]; k < partStart[part + 1]; k++) {
      const kind = globalOf[number][partKinds[k]];
      if (standsFor[kind] < 0) standsFor[kind] = cuts[number] * ends + partFirst[k];
    }
    yield;
  }
  return { windows, standsFor, share: held / (rows * ends) };
}

function bestOf(gains: Float64Array): number {
  let best = 0;
  for (let k = 1; k < gains.length; k++) if (gains[k] > gains[best]) best = k;
  return best;
}
