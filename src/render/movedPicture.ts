import { vec3 } from 'gl-matrix';
import type { ClothPose, PaneRect } from './clothViewTypes.ts';
import { createEye, placeEye } from './eye.ts';

/**
 * Where a picture of one pose lies in that of another that has only moved along the cloth or come nearer, device pixels from
 * the bottom left; exact for the cloth's own plane without perspective. A picture turned otherwise stays where it is.
 */
export function movedPicture(drawn: ClothPose, now: ClothPose, width: number, height: number): PaneRect {
  const turned =
    drawn.yawRad !== now.yawRad ||
    drawn.pitchRad !== now.pitchRad ||
    drawn.rollRad !== now.rollRad ||
    drawn.turnedOver !== now.turnedOver;
  if (turned) return { x: 0, y: 0, width, height };
  const eye = createEye();
  placeEye(eye, now, height, 1);
  const way = vec3.fromValues(drawn.centreMm[0] - now.centreMm[0], drawn.centreMm[1] - now.centreMm[1], 0);
  const nearer = now.pixelsPerMm / drawn.pixelsPerMm;
  return {
    x: (width * (1 - nearer)) / 2 + vec3.dot(way, eye.right) * now.pixelsPerMm,
    y: (height * (1 - nearer)) / 2 + vec3.dot(way, eye.up) * now.pixelsPerMm,
    width: width * nearer,
    height: height * nearer,
  };
}
