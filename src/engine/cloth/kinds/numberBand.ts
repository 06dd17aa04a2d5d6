import type { KindBand } from '#engine/cloth/clothTypes.ts';
import type { Work } from '#engine/cloth/crew.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { PART_ENDS, partsAcross } from './kindBands.ts';
import { Neighbourhoods } from './neighbourhoods.ts';
import type { ThreadKeys } from './threadKeys.ts';

/** Some rows of a cloth, and as many about them as their crossings' kinds are told by. */
export interface NumberingJob {
  readonly drawdown: Drawdown;
  readonly keys: ThreadKeys;
  readonly reach: number;
  /** Of these rows, the band's first and how many it has; one more is numbered with them where the cloth goes on. */
  readonly first: number;
  readonly rows: number;
}

/** Kinds of a band's crossings by numbers of its own. */
export interface NumberedBand {
  /** Row-major; one row more where the cloth goes on. */
  readonly kindOf: Uint32Array;
  /** Of each kind, its neighbourhood's sums. */
  readonly a: Int32Array;
  readonly b: Int32Array;
  /** How many of the band's own crossings are of it, and the first that is. */
  readonly counts: Uint32Array;
  readonly firstOf: Uint32Array;
  /** Where the kinds of each part of PART_ENDS ends begin, and where the last end. */
  readonly partStart: Uint32Array;
  /** Kinds of each part, and for each the first crossing of the part that is of it. */
  readonly partKinds: Uint32Array;
  readonly partFirst: Uint32Array;
}

/** The job of numbering rows from .. to − 1 of a cloth. */
export function numberingJob(
  drawdown: Drawdown,
  keys: ThreadKeys,
  reach: number,
  { from, to }: Pick<KindBand, 'from' | 'to'>,
): NumberingJob {
  const start = Math.max(0, from - reach);
  const stop = Math.min(drawdown.rows, to + 1 + reach);
  const { wordsPerRow, bits } = drawdown;
  return {
    drawdown: { ...drawdown, rows: stop - start, bits: bits.slice(start * wordsPerRow, stop * wordsPerRow) },
    keys: { ends: keys.ends, rows: keys.rows.slice(start, stop), rowYarns: keys.rowYarns.slice(start, stop) },
    reach,
    first: from - start,
    rows: to - from,
  };
}

function* number({ drawdown, keys, reach, first, rows }: NumberingJob): Generator<void, NumberedBand> {
  const { ends } = drawdown;
  const about = new Neighbourhoods(drawdown, keys, reach);
  const { kindOf, a, b } = yield* about.numberRows(first, Math.min(drawdown.rows, first + rows + 1));
  yield;
  const kinds = a.length;
  const counts = new Uint32Array(kinds);
  const firstOf = new Uint32Array(kinds).fill(0xffffffff);
  const seen = new Int32Array(kinds).fill(-1);
  const parts = partsAcross(ends);
  const partStart = new Uint32Array(parts + 1);
  const partKinds: number[] = [];
  const partFirst: number[] = [];
  for (let part = 0; part < parts; part++) {
    const stop = Math.min(ends, (part + 1) * PART_ENDS);
    for (let row = 0; row < rows; row++) {
      for (let k = row * ends + part * PART_ENDS; k < row * ends + stop; k++) {
        const kind = kindOf[k];
        counts[kind]++;
        if (seen[kind] === part) continue;
        seen[kind] = part;
        partKinds.push(kind);
        partFirst.push(k);
        if (k < firstOf[kind]) firstOf[kind] = k;
      }
    }
    partStart[part + 1] = partKinds.length;
  }
  return {
    ...{ kindOf, a, b, counts, firstOf, partStart },
    partKinds: Uint32Array.from(partKinds),
    partFirst: Uint32Array.from(partFirst),
  };
}

/** Tells the kinds of a band's crossings apart, and which of them are where. */
export const numberBand: Work<NumberingJob, NumberedBand> = { name: 'numberBand', steps: number };
