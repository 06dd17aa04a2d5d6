import { vec3 } from 'gl-matrix';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { type Eye, eyeRay } from './eye.ts';
import type { PicturePart } from './farWindow.ts';

const origin = vec3.create();
const direction = vec3.create();

/** Mean distance between the threads of the closer family, mm. */
export function leastPitch({ ends, lines, bounds: { min, max } }: PackedCloth): number {
  return Math.min((max[0] - min[0]) / ends, (max[1] - min[1]) / lines);
}

export interface PartSeen {
  readonly low: [number, number];
  readonly high: [number, number];
  /** A pixel's width on the cloth where that is least. */
  readonly pixelMm: number;
}

/** What of the cloth's box a part of a picture shows, mm. */
export function partSeen(cloth: PackedCloth, eye: Eye, width: number, height: number, part: PicturePart): PartSeen {
  const { min, max } = cloth.bounds;
  const low: [number, number] = [Infinity, Infinity];
  const high: [number, number] = [-Infinity, -Infinity];
  let pixelMm = Infinity;
  for (const [qx, qy] of [
    [-1, -1],
    [part.width + 1, -1],
    [-1, part.height + 1],
    [part.width + 1, part.height + 1],
  ]) {
    eyeRay(origin, direction, eye, part.x + qx - width / 2, part.y + qy - height / 2);
    for (const z of [min[2], max[2]]) {
      const t = (z - origin[2]) / direction[2];
      if (!(Math.abs(direction[2]) > 1e-3) || t <= eye.rayStart) {
        // The horizon is in the picture.
        return { low: [min[0], min[1]], high: [max[0], max[1]], pixelMm: nearestPixel(cloth, eye) };
      }
      pixelMm = Math.min(pixelMm, eye.mmPerPixel + eye.tanPerPixel * Math.max(0, t));
      for (const axis of [0, 1] as const) {
        const at = origin[axis] + t * direction[axis];
        low[axis] = Math.min(low[axis], at);
        high[axis] = Math.max(high[axis], at);
      }
    }
  }
  return { low, high, pixelMm };
}

/** A pixel's width where the cloth's box is nearest before the eye. */
function nearestPixel(cloth: PackedCloth, eye: Eye): number {
  return eye.mmPerPixel + eye.tanPerPixel * aheadOf(cloth, eye)[0];
}

/** How far before the eye the cloth's box begins and ends, mm; behind the eye there is nothing. */
function aheadOf({ bounds: { min, max } }: PackedCloth, { eye, forward, tanPerPixel }: Eye): [number, number] {
  let near = Infinity;
  let far = -Infinity;
  for (let corner = 0; corner < 8; corner++) {
    let ahead = 0;
    for (let axis = 0; axis < 3; axis++) {
      ahead += ((corner >> axis) & 1 ? max[axis] : min[axis]) * forward[axis] - eye[axis] * forward[axis];
    }
    near = Math.min(near, ahead);
    far = Math.max(far, ahead);
  }
  if (tanPerPixel > 0) near = Math.max(near, LEAST_AHEAD * Math.max(far, LEAST_AHEAD));
  return [near, Math.max(far, near + LEAST_AHEAD)];
}

/** With perspective: nothing nearer than this share of the furthest; and so many mm deep at least. */
const LEAST_AHEAD = 0.01;

/** As shaders/cloth/hairDepth.glsl takes it, over all of a cloth. */
export function depthRange(cloth: PackedCloth, eye: Eye): [number, number, number] {
  const [near, far] = aheadOf(cloth, eye);
  if (eye.tanPerPixel === 0) return [-near / (far - near), 1 / (far - near), 0];
  const change = 1 / (1 / far - 1 / near);
  return [-change / near, change, 1];
}
