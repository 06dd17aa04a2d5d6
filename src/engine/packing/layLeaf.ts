import type { Progress } from '#engine/cloth/clothTypes.ts';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';
import { LEAF_FACING } from './clothBufferLayout.ts';
import type { LaidLeaf, PackedCloth } from './packedCloth.ts';
import type { FaceMaterial } from './strandMaterial.ts';
import { surfaceNormal } from './walk/surface.ts';
import { ClothWalker, createWalkHit } from './walk/walkCloth.ts';

/** Metal leaf pressed on a side of the cloth, and the share of what one sees of that side, square on, that takes it. */
export interface Leaf {
  readonly side: 'face' | 'back';
  readonly face: FaceMaterial;
  readonly share: number;
}

/** Looks at the cloth, evenly spread (R2, M. Roberts 2018): shares are within about 1/√looks, 1.6 %. */
const LOOKS = 4096;
const LOOKS_PER_PAUSE = 256;

/**
 * How high the cloth must stand for leaf to hold: the height above which lies the share wanted of what faces the press. Fibres
 * that stand off are passed by: leaf does not hold on them.
 * @param row of the leaf's colour and optics in the material table
 */
export function* layLeaf(packed: PackedCloth, { side, share }: Leaf, row: number): Generator<Progress, LaidLeaf> {
  const walker = new ClothWalker(packed.hairy ? { ...packed, hairy: false } : packed);
  const hit = createWalkHit();
  const normal = new Float64Array(3);
  const { min, max } = packed.bounds;
  const sign = side === 'face' ? 1 : -1;
  const from = sign > 0 ? max[2] + 1 : min[2] - 1;
  const heights: number[] = [];
  let seen = 0;
  let top = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < LOOKS; k++) {
    if (k % LOOKS_PER_PAUSE === 0) yield { stage: 'packing', share: k / LOOKS };
    const x = min[0] + evenX(k) * (max[0] - min[0]);
    const y = min[1] + evenY(k) * (max[1] - min[1]);
    if (!walker.walk(hit, x, y, from, 0, 0, -sign, 0, 1e6)) continue;
    const z = from - sign * hit.t;
    seen++;
    top = Math.max(top, sign * z);
    surfaceNormal(normal, walker, hit, x, y, z);
    if (sign * normal[2] > LEAF_FACING) heights.push(sign * z);
  }
  heights.sort((a, b) => b - a);
  const wanted = Math.min(heights.length, Math.round(share * seen));
  const height = wanted > 0 ? heights[wanted - 1] : Number.POSITIVE_INFINITY;
  return { row, heightMm: sign * height, share: seen > 0 ? wanted / seen : 0, depthMm: wanted > 0 ? top - height : 0 };
}
