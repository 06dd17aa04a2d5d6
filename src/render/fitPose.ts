import { mat3, vec3 } from 'gl-matrix';
import type { ClothBounds } from '#engine/packing/packedCloth.ts';
import type { ClothPose } from './clothViewTypes.ts';
import { createEye, placeEye } from './eye.ts';

/** Share of the picture that the cloth fills. */
const FILL = 0.92;

/** The pose's turn, with middle and scale such that the whole cloth is in the picture. */
export function fitPose(bounds: ClothBounds, pose: ClothPose, width: number, height: number): ClothPose {
  const eye = createEye();
  placeEye(eye, { ...pose, fieldOfViewRad: 0 }, height, 1);
  const toRoom = mat3.transpose(mat3.create(), eye.toCloth);
  const centreMm: [number, number] = [(bounds.min[0] + bounds.max[0]) / 2, (bounds.min[1] + bounds.max[1]) / 2];
  const corner = vec3.create();
  let halfX = 1e-3;
  let halfY = 1e-3;
  for (let k = 0; k < 8; k++) {
    vec3.set(
      corner,
      (k & 1 ? bounds.max : bounds.min)[0] - centreMm[0],
      (k & 2 ? bounds.max : bounds.min)[1] - centreMm[1],
      (k & 4 ? bounds.max : bounds.min)[2],
    );
    vec3.transformMat3(corner, corner, toRoom);
    halfX = Math.max(halfX, Math.abs(corner[0]));
    halfY = Math.max(halfY, Math.abs(corner[1]));
  }
  return { ...pose, centreMm, pixelsPerMm: FILL * Math.min(width / (2 * halfX), height / (2 * halfY)) };
}
