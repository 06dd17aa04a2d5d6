import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { transpose } from '#engine/draft/transformDrawdown.ts';
import type { CheckedCloth } from './checkTypes.ts';

/** Whether every row passes from edge to edge. */
export function passesWhole({ drawdown, rowFirst, rowLast }: CheckedCloth): boolean {
  for (let row = 0; row < drawdown.rows; row++) {
    if (rowFirst[row] > 0 || rowLast[row] < drawdown.ends - 1) return false;
  }
  return true;
}

/**
 * The drawdown end by end. Where a row does not pass an end, the end goes on as it lay before, or as it first lies after:
 * nothing crosses it there.
 */
export function warpLines(cloth: CheckedCloth): Drawdown {
  const lines = transpose(cloth.drawdown);
  if (passesWhole(cloth)) return lines;
  const { rows, ends } = cloth.drawdown;
  const filled = createDrawdown(ends, rows);
  filled.bits.set(lines.bits);
  for (let end = 0; end < ends; end++) {
    let lies: boolean | undefined;
    for (let row = 0; row < rows; row++) {
      if (passes(cloth, row, end)) lies = isWarpUp(lines, end, row);
      else if (lies !== undefined) setWarpUp(filled, end, row, lies);
      else {
        let next = row + 1;
        while (next < rows && !passes(cloth, next, end)) next++;
        lies = next < rows && isWarpUp(lines, end, next);
        setWarpUp(filled, end, row, lies);
      }
    }
  }
  return filled;
}

function passes({ rowFirst, rowLast }: CheckedCloth, row: number, end: number): boolean {
  return end >= rowFirst[row] && end <= rowLast[row];
}
