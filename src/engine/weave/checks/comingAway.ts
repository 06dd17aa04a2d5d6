import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { Layers } from '#engine/weave/layers.ts';
import { type CheckedCloth, type Finding, MOST_PLACES, type Place } from './checkTypes.ts';

/** Threads that lie on one side from edge to edge. */
export function findNeverInterlacing(cloth: CheckedCloth, columns: Drawdown): Finding[] {
  const { drawdown, rowFirst, rowLast } = cloth;
  const findings: Finding[] = [];
  const ends: Place[] = [];
  for (let end = 0; end < drawdown.ends; end++)
    if (!changesSide(columns, end, 0, drawdown.rows - 1)) ends.push(endPlace(cloth, end));
  const rows: Place[] = [];
  for (let row = 0; row < drawdown.rows; row++)
    if (!changesSide(drawdown, row, rowFirst[row], rowLast[row])) rows.push(rowPlace(cloth, row));
  const tell = (system: 'warp' | 'weft', places: Place[]) => {
    if (places.length === 0) return;
    const kind = 'neverInterlaces' as const;
    findings.push({ kind, weight: 'mistake', system, count: places.length, places: places.slice(0, MOST_PLACES) });
  };
  tell('warp', ends);
  tell('weft', rows);
  return findings;
}

function changesSide({ wordsPerRow, bits }: Drawdown, row: number, first: number, last: number): boolean {
  const up = (end: number) => (bits[row * wordsPerRow + (end >>> 5)] >>> (end & 31)) & 1;
  const side = up(first);
  for (let end = first + 1; end <= last; end++) if (up(end) !== side) return true;
  return false;
}

/** Where ends and picks lie at least so many to a part, it is a cloth of its own; fewer just come away. */
export const LEAST_OF_CLOTH = 2;

/**
 * Whether a piece holds as one cloth, and what comes away if not: whole cloths that lie over one another, which may be
 * meant, and small parts, which seldom are. Threads that never interlace are told of by themselves.
 */
export function findLayers(cloth: CheckedCloth, { count, endLayer, pickLayer }: Layers): Finding[] {
  if (count <= 1) return [];
  const ends = tally(endLayer, count);
  const picks = tally(pickLayer, count);
  const cloths: number[] = [];
  const small: number[] = [];
  for (let part = 0; part < count; part++) {
    if (ends[part] >= LEAST_OF_CLOTH && picks[part] >= LEAST_OF_CLOTH) cloths.push(part);
    else if (ends[part] > 0 && picks[part] > 0) small.push(part);
  }
  const findings: Finding[] = [];
  if (cloths.length > 1) {
    const upper = cloths[0];
    findings.push({
      kind: 'layers',
      weight: 'told',
      parts: cloths.length,
      ends: ends[upper],
      picks: picks[upper],
      count: cloths.length,
      places: cloths.map((part) => firstOf(cloth, endLayer, pickLayer, part)),
    });
  }
  // Of several cloths the largest is the cloth, of one all else has come away from it.
  if (cloths.length <= 1 && small.length > 0) {
    findings.push({
      kind: 'comesAway',
      weight: 'mistake',
      ends: small.reduce((sum, part) => sum + ends[part], 0),
      picks: small.reduce((sum, part) => sum + picks[part], 0),
      count: small.length,
      places: small.slice(0, MOST_PLACES).map((part) => firstOf(cloth, endLayer, pickLayer, part)),
    });
  }
  return findings;
}

function tally(layerOf: Uint32Array, count: number): Uint32Array {
  const sums = new Uint32Array(count);
  for (const layer of layerOf) sums[layer]++;
  return sums;
}

/** The crossing of a part's first end and first pick. */
function firstOf({ drawdown }: CheckedCloth, endLayer: Uint32Array, pickLayer: Uint32Array, part: number): Place {
  const end = endLayer.indexOf(part);
  const row = pickLayer.indexOf(part);
  return {
    fromEnd: Math.max(0, end),
    toEnd: end < 0 ? drawdown.ends - 1 : end,
    fromRow: Math.max(0, row),
    toRow: row < 0 ? drawdown.rows - 1 : row,
  };
}

export function endPlace({ drawdown }: CheckedCloth, end: number): Place {
  return { fromRow: 0, toRow: drawdown.rows - 1, fromEnd: end, toEnd: end };
}

export function rowPlace({ rowFirst, rowLast }: CheckedCloth, row: number): Place {
  return { fromRow: row, toRow: row, fromEnd: rowFirst[row], toEnd: rowLast[row] };
}
