import type { Drawdown } from '#engine/draft/drawdown.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { THREAD_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { type Layers, layersOf } from '#engine/weave/layers.ts';

/** What the draft hides at a crossing: bits. */
export const HIDES_WARP = 1;
export const HIDES_WEFT = 2;

const LINES_PER_PAUSE = 32;

/** Ends and rows that lie behind the cloth nearest to a side. */
interface Behind {
  readonly ends: Uint8Array;
  readonly rows: Uint8Array;
}

/**
 * What the draft hides at each crossing of the first `lines` × `ends` of a cloth, seen from the face and from the back:
 * the thread that lies under there, and of a cloth in layers both threads where neither is of the layer nearest the eye.
 * Where no weft passes nothing is hidden. Line * ends + end. Pauses now and then.
 */
export function* hiddenThreads(
  reader: ClothReader,
  drawdown: Drawdown,
  lines: number,
  ends: number,
): Generator<void, { readonly face: Uint8Array; readonly back: Uint8Array }> {
  const { rowTable } = reader.cloth;
  const layers = layersOf(drawdown);
  const behindFace = behindOf(layers, 1);
  const behindBack = behindOf(layers, -1);
  const face = new Uint8Array(lines * ends);
  const back = new Uint8Array(lines * ends);
  for (let line = 0; line < lines; line++) {
    if (line % LINES_PER_PAUSE === 0) yield;
    for (let end = 0; end < ends; end++) {
      const row = reader.rowAt(line, end);
      const at = row * THREAD_TEXELS * 4;
      if (end < rowTable[at + 4] || end > rowTable[at + 5]) continue;
      const up = isWarpUp(drawdown, row, end);
      const k = line * ends + end;
      face[k] = behindFace.ends[end] & behindFace.rows[row] ? HIDES_WARP | HIDES_WEFT : up ? HIDES_WEFT : HIDES_WARP;
      back[k] = behindBack.ends[end] & behindBack.rows[row] ? HIDES_WARP | HIDES_WEFT : up ? HIDES_WARP : HIDES_WEFT;
    }
  }
  return { face, back };
}

/** Threads of every layer that is woven (of ends and picks alike) but the nearest. Threads that only float hide nothing. */
function behindOf({ count, endLayer, pickLayer }: Layers, side: 1 | -1): Behind {
  const woven = Array.from({ length: count }, (_, layer) => endLayer.includes(layer) && pickLayer.includes(layer));
  const nearest = side === 1 ? woven.indexOf(true) : woven.lastIndexOf(true);
  const isBehind = (layer: number) => (nearest >= 0 && (layer - nearest) * side > 0 && woven[layer] ? 1 : 0);
  return { ends: Uint8Array.from(endLayer, isBehind), rows: Uint8Array.from(pickLayer, isBehind) };
}
