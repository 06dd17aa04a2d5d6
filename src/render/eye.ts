import { mat3, vec3 } from 'gl-matrix';
import type { ClothPose } from './clothViewTypes.ts';

/** The eye in the cloth's own axes, as shaders/cloth/view.glsl takes it. */
export interface Eye {
  readonly eye: vec3;
  readonly right: vec3;
  readonly up: vec3;
  readonly forward: vec3;
  mmPerPixel: number;
  tanPerPixel: number;
  /** Where rays begin: behind the cloth's box without perspective, at the eye with it. */
  rayStart: number;
  /** Room axes to cloth axes. */
  readonly toCloth: mat3;
}

export const FACE_POSE: ClothPose = {
  centreMm: [0, 0],
  pixelsPerMm: 10,
  yawRad: 0,
  pitchRad: 0,
  rollRad: 0,
  turnedOver: false,
  fieldOfViewRad: 0,
};

/** Before any ray without perspective: farther than any cloth is deep. */
const BEHIND_MM = -1e5;

export function createEye(): Eye {
  return {
    eye: vec3.create(),
    right: vec3.create(),
    up: vec3.create(),
    forward: vec3.create(),
    mmPerPixel: 1,
    tanPerPixel: 0,
    rayStart: BEHIND_MM,
    toCloth: mat3.create(),
  };
}

/** Rows of the turn cloth -> room: over, yaw about the vertical, pitch about the horizontal, roll in the picture. */
function turnOf(out: mat3, pose: ClothPose): mat3 {
  const yaw = pose.yawRad + (pose.turnedOver ? Math.PI : 0);
  const cy = Math.cos(yaw);
  const sy = Math.sin(yaw);
  const cp = Math.cos(pose.pitchRad);
  const sp = Math.sin(pose.pitchRad);
  const cr = Math.cos(pose.rollRad);
  const sr = Math.sin(pose.rollRad);
  // Yaw carries the right edge away from the eye, pitch the upper edge.
  const x = [cy, 0, sy];
  const y = [-sp * sy, cp, sp * cy];
  const z = [-cp * sy, -sp, cp * cy];
  return mat3.set(
    out,
    cr * x[0] - sr * y[0],
    cr * x[1] - sr * y[1],
    cr * x[2] - sr * y[2],
    sr * x[0] + cr * y[0],
    sr * x[1] + cr * y[1],
    sr * x[2] + cr * y[2],
    z[0],
    z[1],
    z[2],
  );
}

/**
 * @param heightPx height of the picture, for the angle of view
 * @param scale picture pixels per device pixel
 */
export function placeEye(out: Eye, pose: ClothPose, heightPx: number, scale: number): void {
  // Rows of the turn are the room's axes in cloth terms; gl-matrix takes columns, so this is cloth <- room.
  turnOf(out.toCloth, pose);
  const m = out.toCloth;
  vec3.set(out.right, m[0], m[1], m[2]);
  vec3.set(out.up, m[3], m[4], m[5]);
  vec3.set(out.forward, -m[6], -m[7], -m[8]);
  const mmPerPixel = 1 / (pose.pixelsPerMm * scale);
  vec3.set(out.eye, pose.centreMm[0], pose.centreMm[1], 0);
  if (pose.fieldOfViewRad > 0) {
    out.tanPerPixel = (2 * Math.tan(pose.fieldOfViewRad / 2)) / heightPx;
    out.mmPerPixel = 0;
    vec3.scaleAndAdd(out.eye, out.eye, out.forward, -mmPerPixel / out.tanPerPixel);
    out.rayStart = 0;
  } else {
    out.tanPerPixel = 0;
    out.mmPerPixel = mmPerPixel;
    out.rayStart = BEHIND_MM;
  }
}

/** The ray through a point of the picture: pixels from its middle, right and up. Writes origin and unit direction. */
export function eyeRay(origin: vec3, direction: vec3, eye: Eye, qx: number, qy: number): void {
  for (let k = 0; k < 3; k++) {
    const across = qx * eye.right[k] + qy * eye.up[k];
    origin[k] = eye.eye[k] + eye.mmPerPixel * across;
    direction[k] = eye.forward[k] + eye.tanPerPixel * across;
  }
  vec3.normalize(direction, direction);
}
