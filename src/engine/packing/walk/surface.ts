import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { extraNormal } from './intersectExtra.ts';
import { createTubePoint, createTubeSegment, type TubePoint, tubePointAt } from './tubeSegment.ts';
import type { ClothWalker, WalkHit } from './walkCloth.ts';

const segment = createTubeSegment();
const point = createTubePoint();

/** Unit normal, out of the thread, where a walk met it: the point (x, y, z). */
export function surfaceNormal(
  out: Float64Array,
  walker: ClothWalker,
  hit: WalkHit,
  x: number,
  y: number,
  z: number,
): void {
  const { reader, cloth } = walker;
  const { kind, index, cell } = hit;
  if (hit.isHair) {
    const warp = kind === ThreadKind.warp;
    out[0] = warp ? hit.hair.normalSide : hit.hair.normalAlong;
    out[1] = warp ? hit.hair.normalAlong : hit.hair.normalSide;
    out[2] = hit.hair.normalUp;
  } else if (kind === ThreadKind.extra) {
    extraNormal(out, cloth.extraTable, index, x, y, z);
  } else {
    const warp = kind === ThreadKind.warp;
    const lo = warp ? reader.lineY(cell) : reader.endX(cell);
    const hi = warp ? reader.lineY(cell + 1) : reader.endX(cell + 1);
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
    const w = side - point.o;
    const h = z - point.z;
    const foot =
      (w * point.oSlope + h * point.zSlope) / (1 + point.oSlope * point.oSlope + point.zSlope * point.zSlope);
    tubePointAt(point, segment, u + foot / segment.pitch);
    sectionNormal(out, point, -foot, side - point.o, z - point.z);
    if (warp) {
      const along = out[0];
      out[0] = out[1];
      out[1] = along;
    }
  }
  const length = Math.hypot(out[0], out[1], out[2]);
  for (let k = 0; k < 3; k++) out[k] /= length;
}

/**
 * Normal of a swept ellipse at a place (along, sideways, up from the centre line's point p, square to it): the gradient of
 * the section in its own axes, leant back where the section grows along the thread.
 */
function sectionNormal(out: Float64Array, p: TubePoint, along: number, w: number, h: number): void {
  const level2 = 1 + p.oSlope * p.oSlope;
  const length2 = level2 + p.zSlope * p.zSlope;
  const levelScale = 1 / Math.sqrt(level2);
  const tangentScale = 1 / Math.sqrt(length2);
  const uprightScale = levelScale * tangentScale;
  const x = ((w - along * p.oSlope) * levelScale) / p.a;
  const y = ((h * level2 - along * p.zSlope - w * p.oSlope * p.zSlope) * uprightScale) / p.b;
  const fx = (x / p.a) * levelScale;
  const fy = (y / p.b) * uprightScale;
  const taper = ((x * x * p.aSlope) / p.a + (y * y * p.bSlope) / p.b) * tangentScale;
  out[0] = -fx * p.oSlope - fy * p.zSlope - taper;
  out[1] = fx - fy * p.oSlope * p.zSlope - taper * p.oSlope;
  out[2] = fy * level2 - taper * p.zSlope;
}
