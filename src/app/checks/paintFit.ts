import type { InkColours } from '#app/model/ribbonPaint.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';

/** Least size of a crossing that can be told from its neighbour, px. */
const LEAST_CELL_PX = 4;

/** Two drawdowns from their first end and pick, as far as there is room: wanted, and woven with what differs marked. */
export function paintFit(
  context: CanvasRenderingContext2D,
  widthPx: number,
  heightPx: number,
  ink: InkColours,
  wanted: Drawdown,
  woven: Drawdown,
): void {
  const gapPx = 12;
  const halfPx = (widthPx - gapPx) / 2;
  const cellPx = Math.max(LEAST_CELL_PX, Math.floor(Math.min(halfPx / wanted.ends, heightPx / wanted.rows)));
  const ends = Math.min(wanted.ends, Math.floor(halfPx / cellPx));
  const rows = Math.min(wanted.rows, Math.floor(heightPx / cellPx));
  context.clearRect(0, 0, widthPx, heightPx);
  const paint = (drawdown: Drawdown, leftPx: number, marked: boolean) => {
    context.fillStyle = ink.paper;
    context.fillRect(leftPx, heightPx - rows * cellPx, ends * cellPx, rows * cellPx);
    for (let row = 0; row < rows; row++) {
      for (let end = 0; end < ends; end++) {
        const up = isWarpUp(drawdown, row, end);
        const differs = marked && up !== isWarpUp(wanted, row, end);
        if (!up && !differs) continue;
        const [x, y] = [leftPx + end * cellPx, heightPx - (row + 1) * cellPx];
        context.fillStyle = differs ? ink.accent : ink.ink;
        // What differs and is down is marked by its outline only.
        if (differs && !up) {
          context.strokeStyle = ink.accent;
          context.strokeRect(x + 0.5, y + 0.5, cellPx - 1, cellPx - 1);
        } else context.fillRect(x, y, cellPx - 0.5, cellPx - 0.5);
      }
    }
  };
  paint(wanted, 0, false);
  paint(woven, halfPx + gapPx, true);
}
