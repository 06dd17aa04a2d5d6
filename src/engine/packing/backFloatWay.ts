import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { crossingAt } from '#engine/cloth/heldCrossings.ts';
import type { BackFloat } from '#engine/cloth/placed/backFloats.ts';
import { type Point, smoothWay, type TailPiece } from './smoothWay.ts';

/** Where a weft passes its last end, and half its height. */
interface Leaves {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly halfHeight: number;
}

/** A tie bends the float up over so many of its own heights either way. */
const TIE_HEIGHTS = 3;

/** A float's way behind the cloth from one row to the next, round an end from its front where it is tied. */
export function backFloatWay(
  problem: ClothProblem,
  geometry: ClothGeometry,
  float: BackFloat,
  from: Leaves,
  to: Leaves,
): readonly TailPiece[] {
  const backZ = behindAll(geometry, float, from.halfHeight);
  const at = (share: number): Point => [from.x + share * (to.x - from.x), from.y + share * (to.y - from.y), backZ];
  const { ties, spanMm } = float;
  const bend = spanMm > 0 ? Math.min((TIE_HEIGHTS * 2 * from.halfHeight) / spanMm, 1 / (2 * ties + 2)) : 0;
  const points: Point[] = [[from.x, from.y, from.z], at(bend)];
  for (let tie = 1; tie <= ties; tie++) {
    const share = tie / (ties + 1);
    const end = Math.round(float.fromEnd + share * (float.toEnd - float.fromEnd));
    const { contactHeightMm } = problem.yarns[problem.endYarn[end]];
    const z = geometry.warp.heightMm[crossingAt(geometry, float.row, end)] + contactHeightMm / 2 + from.halfHeight;
    // A quadratic passes half way to its middle point.
    const [, y] = at(share);
    points.push(at(share - bend), [geometry.endXMm[end], y, 2 * z - backZ], at(share + bend));
  }
  points.push(at(1 - bend), [to.x, to.y, to.z]);
  return smoothWay(points);
}

/** Height behind everything on the way. */
function behindAll(geometry: ClothGeometry, { row, next, fromEnd, toEnd }: BackFloat, halfHeight: number): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (let end = Math.min(fromEnd, toEnd); end <= Math.max(fromEnd, toEnd); end++) {
    for (const k of [crossingAt(geometry, row, end), crossingAt(geometry, next, end)]) {
      lowest = Math.min(lowest, geometry.warp.heightMm[k], geometry.weft.heightMm[k]);
    }
  }
  return lowest - 2 * halfHeight;
}
