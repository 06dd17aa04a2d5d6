import type { Millimetres } from '#engine/units/units.ts';

/** Most flat parts of a draped cloth: the one that lies, the one that hangs, and those between. */
export const MOST_PANELS = 26;

/** A right angle in joints: 3.6° each, within which a thread a millimetre off the cloth's middle is 0.03 mm out of place. */
const JOINTS = MOST_PANELS - 1;

/**
 * A cloth that lies flat towards its last pick, bends over a cylinder that lies along the wefts, and hangs. Its own y runs up
 * along it; z points out of its face, which is outside.
 *
 * It bends in flat panels that turn alike at each joint, and the joints' planes meet in the cylinder's axis. Within a panel
 * space is the cloth's own, turned and moved, so a ray is straight there and the walk of the flat cloth serves; a smooth bend
 * would make rays crooked. What is off the middle by z is stretched outside, and squeezed inside, by 2 z tan(turn/2) at a
 * joint.
 */
export interface Drape {
  /** y of the flat cloth above the axis. */
  readonly axisYMm: Millimetres;
  /** From the axis to the middle of the cloth, where panels come nearest. */
  readonly radiusMm: Millimetres;
  readonly jointRad: number;
  readonly joints: number;
}

/**
 * @param edgeYMm y of the flat cloth in the middle of the bend
 * @param radiusMm of the cloth's middle; must be more than the cloth reaches to either side of it
 */
export function drapeOver(edgeYMm: Millimetres, radiusMm: Millimetres): Drape {
  const jointRad = Math.PI / 2 / JOINTS;
  const bentMm = JOINTS * 2 * radiusMm * Math.tan(jointRad / 2);
  return { axisYMm: edgeYMm + bentMm / 2, radiusMm, jointRad, joints: JOINTS };
}

/** y of the flat cloth where the k-th panel comes nearest to the axis. */
export function footYMm({ axisYMm, radiusMm, jointRad }: Drape, k: number): Millimetres {
  return axisYMm - k * 2 * radiusMm * Math.tan(jointRad / 2);
}

/** The panel that holds a place of the flat cloth's middle. */
export function panelAt(drape: Drape, yMm: Millimetres): number {
  const widthMm = 2 * drape.radiusMm * Math.tan(drape.jointRad / 2);
  return Math.max(0, Math.min(drape.joints, Math.round((drape.axisYMm - yMm) / widthMm)));
}

/** Where y, z of the flat cloth lie once it is draped, as part of the k-th panel. */
export function placeOutOf(drape: Drape, k: number, yMm: Millimetres, zMm: Millimetres): [Millimetres, Millimetres] {
  const { axisYMm, radiusMm, jointRad } = drape;
  const [cos, sin] = [Math.cos(k * jointRad), Math.sin(k * jointRad)];
  const [y, z] = [yMm - footYMm(drape, k), zMm + radiusMm];
  return [axisYMm + y * cos - z * sin, -radiusMm + y * sin + z * cos];
}

/** Back again. */
export function placeInto(drape: Drape, k: number, yMm: Millimetres, zMm: Millimetres): [Millimetres, Millimetres] {
  const { axisYMm, radiusMm, jointRad } = drape;
  const [cos, sin] = [Math.cos(k * jointRad), Math.sin(k * jointRad)];
  const [y, z] = [yMm - axisYMm, zMm + radiusMm];
  return [footYMm(drape, k) + y * cos + z * sin, -radiusMm - y * sin + z * cos];
}
