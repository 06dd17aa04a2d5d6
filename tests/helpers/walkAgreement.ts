import { expect } from 'vitest';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothPose } from '#render/clothViewTypes.ts';
import type { openView } from './clothProbe.ts';
import { twinBuffers } from './clothProbe.ts';

/** What the shader's walk and its TypeScript twin say of the same pixels. */
export interface WalkAgreement {
  /** Share of all pixels on which both see the same thread, or both none. */
  readonly same: number;
  /** Pixels that both see on the same thread. */
  readonly seen: number;
  /** Pixels that show hair in the twin. */
  readonly hairs: number;
  /** By how much the two differ, one value for each of the `seen` pixels: along the ray, square to the surface, and the
   * distance between the two unit normals. */
  readonly depthMm: readonly number[];
  readonly offSurfaceMm: readonly number[];
  readonly normal: readonly number[];
}

/** Ways to look at a cloth: rays along the grid's cells and aslant through them, and of either sense. */
export const ALL_ROUND: Readonly<Record<string, Partial<ClothPose>>> = {
  'square-on': {},
  'turned 45 and tipped 20 degrees': { yawRad: Math.PI / 4, pitchRad: 0.35 },
  'back, in perspective': { turnedOver: true, yawRad: -0.6, fieldOfViewRad: 0.5 },
};

/** Walks the cloth that the view holds both ways, turned so that all of it is in a picture of size × size. */
export async function compareWalks(
  { view, shaderErrors }: Pick<ReturnType<typeof openView>, 'view' | 'shaderErrors'>,
  packed: PackedCloth,
  turn: Partial<ClothPose>,
  size: number,
): Promise<WalkAgreement> {
  view.setView({ yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, fieldOfViewRad: 0, ...turn });
  view.setView({ ...view.fitPose(), ...turn });
  const gpu = await view.readBuffers(size, size);
  expect(shaderErrors).toEqual([]);
  const twin = twinBuffers(packed, view.pose, size, size);
  const depthMm: number[] = [];
  const offSurfaceMm: number[] = [];
  const normal: number[] = [];
  let same = 0;
  let hairs = 0;
  for (let p = 0; p < size * size; p++) {
    if (twin.isHair[p]) hairs++;
    if (twin.kind[p] !== gpu.kind[p] || (twin.kind[p] !== 0 && twin.index[p] !== gpu.index[p])) continue;
    same++;
    if (twin.kind[p] === 0) continue;
    const apart = Math.abs(twin.depthMm[p] - gpu.depthMm[p]);
    depthMm.push(apart);
    offSurfaceMm.push(apart * twin.incidence[p]);
    normal.push(Math.hypot(...[0, 1, 2].map((k) => twin.normal[3 * p + k] - gpu.normal[3 * p + k])));
  }
  return { same: same / (size * size), seen: depthMm.length, hairs, depthMm, offSurfaceMm, normal };
}

/** Share of the values that lie below a bound. */
export function shareBelow(values: readonly number[], bound: number): number {
  return values.filter((value) => value < bound).length / values.length;
}
