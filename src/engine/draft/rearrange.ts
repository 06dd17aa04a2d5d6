/** Orders of lines (picks or ends): place -> the line that comes there, both from 0. */
export type LineOrder = Int32Array;

/** Last first. Twice is nothing. */
export function mirroredOrder(count: number): LineOrder {
  return Int32Array.from({ length: count }, (_, i) => count - 1 - i);
}

/** Each line `by` places further on, the last ones coming first. */
export function slidOrder(count: number, by: number): LineOrder {
  return Int32Array.from({ length: count }, (_, i) => (((i - by) % count) + count) % count);
}

/**
 * The lines of two drafts that lie one after the other, laid one and one, as two cloths woven above each other need; of
 * an odd number the first draft has one more.
 */
export function alternatedOrder(count: number): LineOrder {
  const first = Math.ceil(count / 2);
  return Int32Array.from({ length: count }, (_, i) => (i % 2 === 0 ? i / 2 : first + (i - 1) / 2));
}

export interface Cell {
  readonly x: number;
  readonly y: number;
}

/** Cells of a straight line between two, both included, each touching the next (J. E. Bresenham 1965). */
export function cellsOfLine(from: Cell, to: Cell): Cell[] {
  const dx = Math.abs(to.x - from.x);
  const dy = Math.abs(to.y - from.y);
  const sx = Math.sign(to.x - from.x);
  const sy = Math.sign(to.y - from.y);
  const cells: Cell[] = [];
  let { x, y } = from;
  let error = dx - dy;
  for (;;) {
    cells.push({ x, y });
    if (x === to.x && y === to.y) return cells;
    const twice = 2 * error;
    if (twice > -dy) {
      error -= dy;
      x += sx;
    }
    if (twice < dx) {
      error += dx;
      y += sy;
    }
  }
}

/** All cells between two corners. */
export function cellsOfRectangle(from: Cell, to: Cell): Cell[] {
  const cells: Cell[] = [];
  for (let y = Math.min(from.y, to.y); y <= Math.max(from.y, to.y); y++) {
    for (let x = Math.min(from.x, to.x); x <= Math.max(from.x, to.x); x++) cells.push({ x, y });
  }
  return cells;
}
