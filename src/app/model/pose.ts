/**
 * How the cloth is held: which point of it lies in the middle of the panel, how near it is and how it is turned.
 * The cloth lies in the plane z = 0 with its face towards +z; lengths mm, angles rad, screen positions CSS px from
 * the panel's top left corner. yaw turns about the vertical (0 shows the face, pi the back), pitch tips the top
 * towards the eye (negative: away, as the weaver sees it, low over the cloth).
 */
export interface Pose {
  readonly targetXMm: number;
  readonly targetYMm: number;
  readonly yawRad: number;
  readonly pitchRad: number;
  /** Scale at the target. */
  readonly mmPerPx: number;
}

export interface PanelSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

export interface ClothExtent {
  readonly minXMm: number;
  readonly maxXMm: number;
  readonly minYMm: number;
  readonly maxYMm: number;
}

/**
 * `turned`: to the window at the upper left, as one turns cloth in the hand to see its lustre. `low`: from low over the cloth,
 * as the weaver sees it at the loom.
 */
export type PresetView = 'square' | 'turned' | 'low';
export type Side = 'face' | 'back';

/** Vertical field of view: about that of a sheet of paper at arm's length, so that perspective stays modest. */
export const fieldOfViewRad = (26 * Math.PI) / 180;

/** Beyond this tip the cloth is a line and the sums that divide by its foreshortening blow up. */
const maxPitchRad = (84 * Math.PI) / 180;

/** From a fibre filling the panel to a bolt of cloth in it. */
export const minMmPerPx = 0.001;
export const maxMmPerPx = 10;

/** Least foreshortening that panning divides by: keeps the cloth from leaping away when it is nearly edge-on. */
const leastForeshortening = 0.25;

const presetAngles: Record<PresetView, readonly [yawRad: number, pitchRad: number]> = {
  square: [0, 0],
  turned: [(26 * Math.PI) / 180, (-17 * Math.PI) / 180],
  low: [(12 * Math.PI) / 180, (-66 * Math.PI) / 180],
};

export function sideOf(pose: Pose): Side {
  return Math.cos(pose.yawRad) >= 0 ? 'face' : 'back';
}

/** Distance of the eye from the target, mm. */
function eyeDistanceMm(pose: Pose, size: PanelSize): number {
  return (size.heightPx * pose.mmPerPx) / (2 * Math.tan(fieldOfViewRad / 2));
}

/** Share of the panel that a fitted cloth takes at most. */
const fitShare = 0.92;
/** Perspective changes with distance, so the scale is found in steps; each leaves a small part of the error before. */
const fitSteps = 6;

/** Whole cloth in the panel with a margin, angles kept. */
export function fitted(pose: Pose, extent: ClothExtent, size: PanelSize): Pose {
  const { minXMm, maxXMm, minYMm, maxYMm } = extent;
  const across = Math.max(
    (maxXMm - minXMm) / Math.max(size.widthPx, 1),
    (maxYMm - minYMm) / Math.max(size.heightPx, 1),
  );
  let fit: Pose = {
    ...pose,
    targetXMm: (minXMm + maxXMm) / 2,
    targetYMm: (minYMm + maxYMm) / 2,
    mmPerPx: clampScale(Math.max(across, minMmPerPx)),
  };
  for (let step = 0; step < fitSteps; step++) {
    let share = 1e-3;
    for (const xMm of [minXMm, maxXMm]) {
      for (const yMm of [minYMm, maxYMm]) {
        const { xPx, yPx } = screenPointOf(fit, size, xMm, yMm);
        share = Math.max(share, Math.abs((2 * xPx) / size.widthPx - 1), Math.abs((2 * yPx) / size.heightPx - 1));
      }
    }
    if (!Number.isFinite(share)) break;
    fit = { ...fit, mmPerPx: clampScale(fit.mmPerPx * Math.min(share / fitShare, 4)) };
  }
  return fit;
}

/** The named view of the side now up. */
export function presetPose(pose: Pose, preset: PresetView): Pose {
  const [yawRad, pitchRad] = presetAngles[preset];
  return { ...pose, yawRad: yawRad + (sideOf(pose) === 'back' ? Math.PI : 0), pitchRad };
}

/** Half a turn about the vertical through the middle of the panel, as a cloth is turned in the hands. */
export function turnedOver(pose: Pose): Pose {
  return { ...pose, yawRad: pose.yawRad + Math.PI };
}

/** The cloth follows the pointer: a full panel height is half a turn. */
export function orbited(pose: Pose, dxPx: number, dyPx: number, size: PanelSize): Pose {
  const radPerPx = Math.PI / Math.max(size.heightPx, 1);
  return {
    ...pose,
    yawRad: pose.yawRad - dxPx * radPerPx,
    pitchRad: clamp(pose.pitchRad + dyPx * radPerPx, -maxPitchRad, maxPitchRad),
  };
}

export function panned(pose: Pose, dxPx: number, dyPx: number, extent: ClothExtent): Pose {
  const cosYaw = Math.cos(pose.yawRad);
  const across = Math.sign(cosYaw || 1) * Math.max(Math.abs(cosYaw), leastForeshortening);
  const along = Math.max(Math.cos(pose.pitchRad), leastForeshortening);
  return keptOnCloth(
    {
      ...pose,
      targetXMm: pose.targetXMm - (dxPx * pose.mmPerPx) / across,
      targetYMm: pose.targetYMm + (dyPx * pose.mmPerPx) / along,
    },
    extent,
  );
}

/** Nearer (factor < 1) or farther, the point of the cloth under the pointer staying where it is. */
export function zoomedAt(
  pose: Pose,
  factor: number,
  xPx: number,
  yPx: number,
  size: PanelSize,
  extent: ClothExtent,
): Pose {
  const before = clothPointAt(pose, size, xPx, yPx);
  const nearer = { ...pose, mmPerPx: clampScale(pose.mmPerPx * factor) };
  const after = clothPointAt(nearer, size, xPx, yPx);
  if (!before || !after) return nearer;
  return keptOnCloth(
    {
      ...nearer,
      targetXMm: nearer.targetXMm + before.xMm - after.xMm,
      targetYMm: nearer.targetYMm + before.yMm - after.yMm,
    },
    extent,
  );
}

/** Where a point of the cloth's mid-surface is seen, or one that stands off it. */
export function screenPointOf(
  pose: Pose,
  size: PanelSize,
  xMm: number,
  yMm: number,
  zMm = 0,
): { xPx: number; yPx: number } {
  const distanceMm = eyeDistanceMm(pose, size);
  const dx = xMm - pose.targetXMm;
  const dy = yMm - pose.targetYMm;
  const sinYaw = Math.sin(pose.yawRad);
  const cosPitch = Math.cos(pose.pitchRad);
  const sinPitch = Math.sin(pose.pitchRad);
  const cosYaw = Math.cos(pose.yawRad);
  const right = dx * cosYaw - zMm * sinYaw;
  const up = -dx * sinYaw * sinPitch + dy * cosPitch - zMm * cosYaw * sinPitch;
  const towardsEye = dx * sinYaw * cosPitch + dy * sinPitch + zMm * cosYaw * cosPitch;
  const scale = distanceMm / Math.max(distanceMm - towardsEye, distanceMm * 1e-3) / pose.mmPerPx;
  return { xPx: size.widthPx / 2 + right * scale, yPx: size.heightPx / 2 - up * scale };
}

/** The point of the cloth's mid-surface under a screen position; undefined where the sight line misses the plane. */
export function clothPointAt(
  pose: Pose,
  size: PanelSize,
  xPx: number,
  yPx: number,
): { xMm: number; yMm: number } | undefined {
  const distanceMm = eyeDistanceMm(pose, size);
  const a = (xPx - size.widthPx / 2) * pose.mmPerPx;
  const b = (size.heightPx / 2 - yPx) * pose.mmPerPx;
  const sinYaw = Math.sin(pose.yawRad);
  const cosYaw = Math.cos(pose.yawRad);
  const sinPitch = Math.sin(pose.pitchRad);
  const cosPitch = Math.cos(pose.pitchRad);
  const eyeX = sinYaw * cosPitch * distanceMm;
  const eyeY = sinPitch * distanceMm;
  const eyeZ = cosYaw * cosPitch * distanceMm;
  const rayX = -eyeX + a * cosYaw - b * sinYaw * sinPitch;
  const rayY = -eyeY + b * cosPitch;
  const rayZ = -eyeZ - a * sinYaw - b * cosYaw * sinPitch;
  const t = -eyeZ / rayZ;
  if (!Number.isFinite(t) || t <= 0) return undefined;
  return { xMm: pose.targetXMm + eyeX + t * rayX, yMm: pose.targetYMm + eyeY + t * rayY };
}

function keptOnCloth(pose: Pose, extent: ClothExtent): Pose {
  return {
    ...pose,
    targetXMm: clamp(pose.targetXMm, extent.minXMm, extent.maxXMm),
    targetYMm: clamp(pose.targetYMm, extent.minYMm, extent.maxYMm),
  };
}

function clampScale(mmPerPx: number): number {
  return clamp(mmPerPx, minMmPerPx, maxMmPerPx);
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(Math.max(value, least), most);
}
