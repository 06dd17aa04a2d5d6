import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { BEYOND_MM } from './clothReader.ts';
import { extraNormal } from './intersectExtra.ts';
import { createSectionValue, createTubePoint, createTubeSegment, sectionAt, tubePointAt } from './tubeSegment.ts';
import type { ClothWalker } from './walkCloth.ts';

const segment = createTubeSegment();
const point = createTubePoint();
const value = createSectionValue();
/** Step of the differences, in pitches and half axes: small against a bend, large against single precision. */
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
    tubePointAt(point, segment, u);
    const stepSide = STEP * point.a;
    const stepUp = STEP * point.b;
    const across = (valueAt(side + stepSide, z) - valueAt(side - stepSide, z)) / (2 * stepSide);
    out[2] = (valueAt(side, z + stepUp) - valueAt(side, z - stepUp)) / (2 * stepUp);
    tubePointAt(point, segment, u + STEP);
    const ahead = valueAt(side, z);
    tubePointAt(point, segment, u - STEP);
    const along = (ahead - valueAt(side, z)) / (2 * STEP * segment.pitch);
    out[0] = warp ? across : along;
    out[1] = warp ? along : across;
  }
  const length = Math.hypot(out[0], out[1], out[2]);
  for (let k = 0; k < 3; k++) out[k] /= length;
}

/** F at a place beside `point`. */
function valueAt(side: number, up: number): number {
  sectionAt(value, point, side, up, 0, 0, 0);
  return value.f;
}
