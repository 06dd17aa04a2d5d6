import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { transpose } from '#engine/draft/transformDrawdown.ts';
import { interlacementsPerPick } from '#engine/weave/interlacement.ts';
import type { Layers } from '#engine/weave/layers.ts';
import type { CheckedCloth, Finding } from './checkTypes.ts';
import { LEAST_OF_CLOTH } from './comingAway.ts';

/** Shares of the maximum sett beyond which a cloth is told of: it cannot be beaten in, or hardly holds (common practice). */
const SETT_LIMITS = { least: 0.5, most: 1 } as const;

/**
 * How full the cloth is set: the room that threads and their intersections take over the room that there is (ends plus
 * intersections; T. R. Ashenhurst 1884). An intersection takes the diameter of the thinner yarn: the thicker lies
 * straight, and the thinner bends round it (common practice for reps). Of cloths in layers each by itself, the fullest told.
 */
export function findSett(cloth: CheckedCloth, columns: Drawdown, layers: Layers): Finding[] {
  const parts = partsOf(cloth, columns, layers);
  return (['warp', 'weft'] as const).map((system) => {
    const shareOfMaximum = Math.max(...parts.map((part) => part[system]));
    const out = shareOfMaximum > SETT_LIMITS.most || shareOfMaximum < SETT_LIMITS.least;
    const { rows, ends } = cloth.drawdown;
    const whole = { fromRow: 0, toRow: rows - 1, fromEnd: 0, toEnd: ends - 1 };
    return { kind: 'sett', weight: out ? 'look' : 'told', system, shareOfMaximum, count: 1, places: [whole] };
  });
}

interface Fullness {
  readonly warp: number;
  readonly weft: number;
}

function partsOf(cloth: CheckedCloth, columns: Drawdown, { count, endLayer, pickLayer }: Layers): Fullness[] {
  const { drawdown } = cloth;
  const every = (length: number) => Array.from({ length }, (_, k) => k);
  if (count > 1 && count <= 4) {
    const layers = every(count)
      .map((layer) => ({
        ends: every(drawdown.ends).filter((end) => endLayer[end] === layer),
        rows: every(drawdown.rows).filter((row) => pickLayer[row] === layer),
      }))
      .filter(({ ends, rows }) => ends.length >= LEAST_OF_CLOTH && rows.length >= LEAST_OF_CLOTH);
    if (layers.length > 1) {
      return layers.map(({ ends, rows }) => {
        const part = chosen(drawdown, rows, ends);
        return fullness(cloth, part, transpose(part), rows, ends);
      });
    }
  }
  return [fullness(cloth, drawdown, columns, every(drawdown.rows), every(drawdown.ends))];
}

function chosen(drawdown: Drawdown, rows: readonly number[], ends: readonly number[]): Drawdown {
  const part = createDrawdown(rows.length, ends.length);
  rows.forEach((row, j) => {
    for (let i = 0; i < ends.length; i++) if (isWarpUp(drawdown, row, ends[i])) setWarpUp(part, j, i, true);
  });
  return part;
}

function fullness(
  { yarns, endYarn, rowYarn, onLoom }: CheckedCloth,
  drawdown: Drawdown,
  columns: Drawdown,
  rows: readonly number[],
  ends: readonly number[],
): Fullness {
  const endMm = (end: number) => yarns[endYarn[end]].diameterMm;
  const rowMm = (row: number) => yarns[rowYarn[row]].diameterMm;
  const alongPicks = interlacementsPerPick(drawdown, 'piece');
  const alongEnds = interlacementsPerPick(columns, 'piece');
  const sum = (list: readonly number[], of: (thread: number, k: number) => number) =>
    list.reduce((total, thread, k) => total + of(thread, k), 0);
  const meanEndMm = sum(ends, endMm) / ends.length;
  const meanRowMm = sum(rows, rowMm) / rows.length;
  const across =
    sum(ends, endMm) + sum(rows, (row, k) => alongPicks[k] * Math.min(rowMm(row), meanEndMm)) / rows.length;
  const along = sum(rows, rowMm) + sum(ends, (end, k) => alongEnds[k] * Math.min(endMm(end), meanRowMm)) / ends.length;
  return { warp: across / onLoom.widthMm, weft: along / onLoom.lengthMm };
}
