import type { LiftPlan } from '#engine/draft/draftTypes.ts';
import { type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { setCount, setMember } from '#engine/draft/shaftSet.ts';
import { layersOf } from '#engine/weave/layers.ts';

/** One end on the wrong side of these rows: what should have risen stays down, what should not is caught up. */
export function skipEnd(drawdown: Drawdown, rows: Iterable<number>, end: number): void {
  for (const row of rows) setWarpUp(drawdown, row, end, !isWarpUp(drawdown, row, end));
}

/** One end on one side of all rows from the first to the last, inclusive: below where it hangs broken behind the cloth. */
export function holdEnd(drawdown: Drawdown, fromRow: number, toRow: number, end: number, up: boolean): void {
  for (let row = fromRow; row <= toRow; row++) setWarpUp(drawdown, row, end, up);
}

/** Lifts with one shaft (1..64) that stays where it is, whatever the plan says. */
export function holdShaft(liftPlan: LiftPlan, shaft: number, up: boolean): LiftPlan {
  const held = liftPlan.slice();
  for (let pick = 0; pick < setCount(held); pick++) setMember(held, pick, shaft, up);
  return held;
}

/**
 * The row whose shed a weft takes that is thrown into the wrong layer: the nearest row of the other layer, the later of
 * two. Where the cloth is not layered as a whole, as in pockets, the nearest row with another shed. −1 where there is none.
 */
export function wrongLayerRow(drawdown: Drawdown, row: number): number {
  const { count, pickLayer } = layersOf(drawdown);
  const differs = (other: number) =>
    count === 2 ? pickLayer[other] !== pickLayer[row] : !sameRow(drawdown, row, other);
  for (let away = 1; away < drawdown.rows; away++) {
    if (row + away < drawdown.rows && differs(row + away)) return row + away;
    if (row - away >= 0 && differs(row - away)) return row - away;
  }
  return -1;
}

function sameRow({ wordsPerRow: width, bits }: Drawdown, row: number, other: number): boolean {
  for (let word = 0; word < width; word++) if (bits[row * width + word] !== bits[other * width + word]) return false;
  return true;
}
