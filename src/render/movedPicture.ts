import { vec3 } from 'gl-matrix';
import type { ClothPose, PaneRect } from './clothViewTypes.ts';
import { createEye, placeEye } from './eye.ts';

/**
 * Where a picture of one pose lies in that of another that has only moved along the cloth or come nearer, device pixels from
 * the bottom left; exact for the cloth's own plane without perspective. A picture turned otherwise stays in the middle.
 * @param drawnOn the canvas that it was drawn for, where that was another: its middle is the middle of both
 */
export function movedPicture(
  drawn: ClothPose,
  now: ClothPose,
  width: number,
  height: number,
  drawnOn: { readonly width: number; readonly height: number } = { width, height },
): PaneRect {
  const turned =
    drawn.yawRad !== now.yawRad ||
    drawn.pitchRad !== now.pitchRad ||
    drawn.rollRad !== now.rollRad ||
    drawn.turnedOver !== now.turnedOver;
  if (turned) return { x: (width - drawnOn.width) / 2, y: (height - drawnOn.height) / 2, ...drawnOn };
  const eye = createEye();
  placeEye(eye, now, height, 1);
  const way = vec3.fromValues(drawn.centreMm[0] - now.centreMm[0], drawn.centreMm[1] - now.centreMm[1], 0);
  const nearer = now.pixelsPerMm / drawn.pixelsPerMm;
  return {
    x: (width - drawnOn.width * nearer) / 2 + vec3.dot(way, eye.right) * now.pixelsPerMm,
    y: (height - drawnOn.height * nearer) / 2 + vec3.dot(way, eye.up) * now.pixelsPerMm,
    width: drawnOn.width * nearer,
    height: drawnOn.height * nearer,
  };
}
