import type { Millimetres } from '#engine/units/units.ts';

/** Most flat parts of a bent cloth: the one that lies, and those of its ends. */
export const MOST_PANELS = 64;

/** A right angle in joints: 3.6° each, within which a thread a millimetre off the cloth's middle is 0.03 mm out of place. */
const JOINTS = 25;
/** Most joints of an end that curls. */
const CURL_JOINTS = 30;
/** Curled ends turn no less than this at a joint: more joints would not be seen. */
const LEAST_CURL_JOINT_RAD = 0.06;

/**
 * A cloth that lies flat in its middle and bends over cylinders at one end or both. Its own y runs up along it (x, where the
 * cylinders lie along the warp); z points out of its face.
 *
 * It bends in flat panels that turn alike at each joint, and the joints' planes meet in the cylinder's axis. Within a panel
 * space is the cloth's own, turned and moved, so a ray is straight there and the walk of the flat cloth serves; a smooth bend
 * would make rays crooked. What is off the middle by z is stretched outside, and squeezed inside, by 2 z tan(turn/2) at a
 * joint. Panels are numbered from the flat one, 0: up to `joints` towards the first pick (or the left selvedge), down to
 * `-farJoints` towards the other end.
 */
export interface Drape {
  /** y (or x) of the flat cloth at the axis that the first end bends about. */
  readonly axisMm: Millimetres;
  /** From the axis to the middle of the cloth, where panels come nearest; less than 0 where the axis lies before the face. */
  readonly radiusMm: Millimetres;
  /** Of the radius's sign. */
  readonly jointRad: number;
  readonly joints: number;
  readonly farAxisMm: Millimetres;
  readonly farJoints: number;
  /** Cylinders lie along the warp instead of the wefts. */
  readonly acrossWidth: boolean;
}

/** Cloth that lies flat. */
export const FLAT: Drape = {
  axisMm: 0,
  radiusMm: 1,
  jointRad: 1 / JOINTS,
  joints: 0,
  farAxisMm: 0,
  farJoints: 0,
  acrossWidth: false,
};

/**
 * The first picks hang over an edge, the face outside.
 * @param edgeYMm y of the flat cloth in the middle of the bend
 * @param radiusMm of the cloth's middle; must be more than the cloth reaches to either side of it
 */
export function drapeOver(edgeYMm: Millimetres, radiusMm: Millimetres): Drape {
  const drape = { ...FLAT, radiusMm, jointRad: Math.PI / 2 / JOINTS, joints: JOINTS };
  return { ...drape, axisMm: edgeYMm + (JOINTS * panelWidthMm(drape)) / 2 };
}

/**
 * Both ends roll up alike: each edge comes to lie on a circle about its axis, `turnRad` on from where the cloth leaves the flat.
 * @param ends where the edges lie flat, the lesser first
 * @param radiusMm of the cloth's middle; more than the cloth reaches to the side that it rolls to
 */
export function curledEnds(
  [firstMm, lastMm]: readonly [Millimetres, Millimetres],
  {
    radiusMm,
    turnRad,
    to,
    acrossWidth,
  }: {
    readonly radiusMm: Millimetres;
    readonly turnRad: number;
    readonly to: 'face' | 'back';
    readonly acrossWidth: boolean;
  },
): Drape {
  const joints = Math.max(1, Math.min(CURL_JOINTS, Math.ceil(turnRad / LEAST_CURL_JOINT_RAD)));
  const sign = to === 'back' ? 1 : -1;
  const drape = { ...FLAT, radiusMm: sign * radiusMm, jointRad: (sign * turnRad) / joints, joints, acrossWidth };
  const rolledMm = joints * panelWidthMm(drape);
  return { ...drape, axisMm: firstMm + rolledMm, farAxisMm: lastMm - rolledMm, farJoints: joints };
}

/** Along the cloth, between two joints. */
function panelWidthMm({ radiusMm, jointRad }: Drape): Millimetres {
  return 2 * radiusMm * Math.tan(jointRad / 2);
}

function axisOf({ axisMm, farAxisMm }: Drape, k: number): Millimetres {
  return k < 0 ? farAxisMm : axisMm;
}

/** y of the flat cloth where the k-th panel comes nearest to the axis. */
export function footYMm(drape: Drape, k: number): Millimetres {
  return axisOf(drape, k) - k * panelWidthMm(drape);
}

/** The panel that holds a place of the flat cloth's middle. */
export function panelAt(drape: Drape, yMm: Millimetres): number {
  const widthMm = panelWidthMm(drape);
  const first = Math.min(drape.joints, Math.round((drape.axisMm - yMm) / widthMm));
  const far = Math.min(drape.farJoints, Math.round((yMm - drape.farAxisMm) / widthMm));
  return first > 0 ? first : -Math.max(0, far);
}

/** Where y, z of the flat cloth lie once it is draped, as part of the k-th panel. */
export function placeOutOf(drape: Drape, k: number, yMm: Millimetres, zMm: Millimetres): [Millimetres, Millimetres] {
  const { radiusMm, jointRad } = drape;
  const [cos, sin] = [Math.cos(k * jointRad), Math.sin(k * jointRad)];
  const [y, z] = [yMm - footYMm(drape, k), zMm + radiusMm];
  return [axisOf(drape, k) + y * cos - z * sin, -radiusMm + y * sin + z * cos];
}

/** Back again. */
export function placeInto(drape: Drape, k: number, yMm: Millimetres, zMm: Millimetres): [Millimetres, Millimetres] {
  const { radiusMm, jointRad } = drape;
  const [cos, sin] = [Math.cos(k * jointRad), Math.sin(k * jointRad)];
  const [y, z] = [yMm - axisOf(drape, k), zMm + radiusMm];
  return [footYMm(drape, k) + y * cos + z * sin, -radiusMm - y * sin + z * cos];
}
