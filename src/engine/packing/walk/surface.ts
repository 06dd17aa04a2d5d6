import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { BEYOND_MM } from './clothReader.ts';
import { extraNormal } from './intersectExtra.ts';
import { createTubePoint, createTubeSegment, tubePointAt } from './tubeSegment.ts';
import type { ClothWalker } from './walkCloth.ts';

const segment = createTubeSegment();
const point = createTubePoint();
/** Step in u of the difference along the thread: small against a bend, large against single precision. */
const STEP = 1 / 256;

/** Unit normal of the thread (kind, index) at a point of its surface, out of the thread. */
export function surfaceNormal(
  out: Float64Array,
  walker: ClothWalker,
  kind: ThreadKind,
  index: number,
  x: number,
  y: number,
  z: number,
): void {
  const { reader, cloth } = walker;
  if (kind === ThreadKind.extra) {
    extraNormal(out, cloth.extraTable, index, x, y, z);
  } else {
    const warp = kind === ThreadKind.warp;
    const last = (warp ? cloth.lines : cloth.ends) - 2;
    const cell = Math.max(0, Math.min(last, warp ? reader.lineCellAt(y) : reader.endCellAt(x)));
    const lo = warp ? reader.lineY(cell) : reader.endX(cell);
    const hi = cell > last ? BEYOND_MM : warp ? reader.lineY(cell + 1) : reader.endX(cell + 1);
    const loaded = warp ? reader.loadWarp(segment, index, cell, lo, hi) : reader.loadWeft(segment, index, cell, lo, hi);
    if (!loaded) {
      out[0] = 0;
      out[1] = 0;
      out[2] = 1;
      return;
    }
    const side = (warp ? x : y) - segment.side;
    const u = ((warp ? y : x) - segment.along) / segment.pitch;
    const along = (sectionAt(u + STEP, side, z) - sectionAt(u - STEP, side, z)) / (2 * STEP * segment.pitch);
    tubePointAt(point, segment, u);
    const across = (2 * (side - point.o)) / (point.a * point.a);
    out[0] = warp ? across : along;
    out[1] = warp ? along : across;
    out[2] = (2 * (z - point.z)) / (point.b * point.b);
  }
  const length = Math.hypot(out[0], out[1], out[2]);
  for (let k = 0; k < 3; k++) out[k] /= length;
}

function sectionAt(u: number, side: number, z: number): number {
  tubePointAt(point, segment, u);
  const px = (side - point.o) / point.a;
  const py = (z - point.z) / point.b;
  return px * px + py * py - 1;
}
