import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import type { CheckedCloth } from '#engine/weave/checks/checkTypes.ts';

/**
 * A piece of a weave: one yarn each way, threads 1 mm apart, one shuttle that begins from the left and turns at every
 * edge. What is given replaces that.
 */
export function checkedPiece(
  weave: Drawdown,
  rows: number,
  ends: number,
  given: Partial<CheckedCloth> = {},
): CheckedCloth {
  const each = <T>(count: number, value: (k: number) => T) => Array.from({ length: count }, (_, k) => value(k));
  return {
    drawdown: tile(weave, rows, ends),
    yarns: [{ pile: false, diameterMm: 0.5 }],
    endYarn: each(ends, () => 0),
    rowYarn: each(rows, () => 0),
    rowFirst: each(rows, () => 0),
    rowLast: each(rows, () => ends - 1),
    rowEntersRight: each(rows, (row) => row % 2),
    rowTurns: each(rows, () => 1),
    endXMm: each(ends, (end) => end),
    rowYMm: each(rows, (row) => row),
    onLoom: { widthMm: ends, lengthMm: rows },
    ...given,
  };
}
