import { THREAD_TEXELS, ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import type { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { type ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { type CrossingClasses, memberAt } from './classes.ts';
import { HIDES_WARP, HIDES_WEFT } from './grinHidden.ts';

/** What lines of sight through the cells of a class meet, as shares of those cells. */
export interface CellView {
  /** Threads that the draft hides where they are met. */
  hidden: number;
  /** Any thread. */
  shown: number;
  /** Lines of sight so far, which places the next: one sequence through all classes and directions. */
  looked: number;
}

const hit = createWalkHit();

/** Rays along the view through the cells about crossings of a class, where they meet the mid-plane, spread evenly (R2). */
export function lookAtClass(
  out: CellView,
  walker: ClothWalker,
  classes: CrossingClasses,
  index: number,
  rays: number,
  view: readonly [number, number, number],
  hides: Uint8Array,
): void {
  const { cloth, reader } = walker;
  const { min, max } = cloth.bounds;
  const middle = 0.5 * (min[2] + max[2]);
  const away = ((view[2] > 0 ? max[2] : min[2]) - middle) / view[2] + 1e-3;
  let hidden = 0;
  let shown = 0;
  for (let k = 0; k < rays; k++) {
    const { line, end } = memberAt(cloth, classes, index, k);
    const x0 = reader.endX(Math.max(0, end - 1));
    const x1 = reader.endX(end);
    const x2 = reader.endX(Math.min(cloth.ends - 1, end + 1));
    const y0 = reader.lineY(Math.max(0, line - 1));
    const y1 = reader.lineY(line);
    const y2 = reader.lineY(Math.min(cloth.lines - 1, line + 1));
    const n = out.looked++;
    const x = 0.5 * (x0 + x1 + ((0.5 + n * 0.7548776662466927) % 1) * (x2 - x0));
    const y = 0.5 * (y0 + y1 + ((0.5 + n * 0.5698402909980532) % 1) * (y2 - y0));
    const [ox, oy, oz] = [x + away * view[0], y + away * view[1], middle + away * view[2]];
    if (!walker.walk(hit, ox, oy, oz, -view[0], -view[1], -view[2], 0, Number.POSITIVE_INFINITY)) continue;
    // Turns at the selvedges and cut ends cross nothing.
    if (hit.kind === ThreadKind.extra) continue;
    shown++;
    const isWarp = hit.kind === ThreadKind.warp;
    const across = ox - hit.t * view[0];
    const up = oy - hit.t * view[1];
    const atEnd = isWarp ? hit.index : nearest(across, reader.endCellAt(across), cloth.ends, (e) => reader.endX(e));
    const atLine = isWarp
      ? nearest(up, reader.lineCellAt(up), cloth.lines, (l) => reader.lineY(l))
      : lineOf(reader, hit.index);
    const at = (atLine % classes.lines) * classes.ends + (atEnd % classes.ends);
    if (hides[at] & (isWarp ? HIDES_WARP : HIDES_WEFT)) hidden++;
  }
  out.hidden = hidden / rays;
  out.shown = shown / rays;
}

function nearest(at: number, cell: number, count: number, place: (k: number) => number): number {
  const low = Math.max(0, cell);
  const high = Math.min(count - 1, cell + 1);
  return at - place(low) < place(high) - at ? low : high;
}

function lineOf(reader: ClothReader, row: number): number {
  const { cloth } = reader;
  if (!cloth.sideBySide) return row;
  const y = cloth.rowTable[row * THREAD_TEXELS * 4];
  return nearest(y, reader.lineCellAt(y), cloth.lines, (line) => reader.lineY(line));
}
