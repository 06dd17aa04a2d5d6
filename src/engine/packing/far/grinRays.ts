import { THREAD_TEXELS, ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import type { ClothReader } from '#engine/packing/walk/clothReader.ts';
import type { ClothWalker } from '#engine/packing/walk/walkCloth.ts';
import { lookThroughClass } from './classRays.ts';
import type { FarCloth } from './farTypes.ts';
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

/** What rays along the view through the cells of a class meet. */
export function lookAtClass(
  out: CellView,
  walker: ClothWalker,
  far: FarCloth,
  index: number,
  rays: number,
  view: readonly [number, number, number],
  hides: Uint8Array,
): void {
  const { cloth, reader } = walker;
  let hidden = 0;
  let shown = 0;
  lookThroughClass(walker, far, index, rays, out.looked, view, ({ origin, met, hit }) => {
    // Turns at the selvedges and cut ends cross nothing.
    if (!met || hit.kind === ThreadKind.extra) return;
    shown++;
    const isWarp = hit.kind === ThreadKind.warp;
    const across = origin[0] - hit.t * view[0];
    const up = origin[1] - hit.t * view[1];
    const atEnd = isWarp ? hit.index : nearest(across, reader.endCellAt(across), cloth.ends, (e) => reader.endX(e));
    const atLine = isWarp
      ? nearest(up, reader.lineCellAt(up), cloth.lines, (l) => reader.lineY(l))
      : lineOf(reader, hit.index);
    const at = (atLine % far.lines) * far.ends + (atEnd % far.ends);
    if (hides[at] & (isWarp ? HIDES_WARP : HIDES_WEFT)) hidden++;
  });
  out.looked += rays;
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
