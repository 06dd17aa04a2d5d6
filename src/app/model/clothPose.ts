import type { ClothPose } from '#render/clothViewTypes.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import { type ClothExtent, fieldOfViewRad, type Pose } from './pose.ts';

/** The page's pose as the view takes it: the page moves the eye round the cloth, the view turns the cloth before it. */
export function clothPose(pose: Pose, pixelRatio: number): Partial<ClothPose> {
  return {
    centreMm: [pose.targetXMm, pose.targetYMm],
    pixelsPerMm: pixelRatio / pose.mmPerPx,
    yawRad: -pose.yawRad,
    pitchRad: -pose.pitchRad,
    rollRad: 0,
    turnedOver: false,
    fieldOfViewRad,
  };
}

/** Where the drawn cloth reaches to, turns at the selvedges and cut ends included. */
export function extentOf({ bounds }: ForecastResult['packed']): ClothExtent {
  return { minXMm: bounds.min[0], maxXMm: bounds.max[0], minYMm: bounds.min[1], maxYMm: bounds.max[1] };
}
