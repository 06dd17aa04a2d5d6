import { describe, expect, it } from 'vitest';
import { clothPose } from '#app/model/clothPose.ts';
import {
  clothPointAt,
  fitted,
  orbited,
  type PanelSize,
  type Pose,
  panned,
  presetPose,
  screenPointOf,
  sideOf,
  turnedOver,
  zoomedAt,
} from '#app/model/pose.ts';
import { createEye, FACE_POSE, placeEye } from '#render/eye.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';

const size: PanelSize = { widthPx: 800, heightPx: 600 };
const extent = { minXMm: 0, maxXMm: 240, minYMm: 0, maxYMm: 300 };
const square: Pose = { targetXMm: 120, targetYMm: 150, yawRad: 0, pitchRad: 0, mmPerPx: 0.5 };
/** Rounding in the projection's few sums, px and mm. */
const ROUNDING = 1e-6;

const tilted: Pose[] = [
  square,
  { ...square, yawRad: 0.6, pitchRad: -0.9 },
  { ...square, yawRad: Math.PI - 0.4, pitchRad: 0.3 },
  { ...square, yawRad: -2.2, pitchRad: 0.7, mmPerPx: 0.02 },
];

describe('how the cloth is held', () => {
  it('square on, a millimetre is the same everywhere and the first pick is lowest', () => {
    const left = screenPointOf(square, size, 100, 150);
    const right = screenPointOf(square, size, 140, 150);
    expect(right.xPx - left.xPx).toBeCloseTo(80, 6);
    expect(screenPointOf(square, size, 120, 0).yPx).toBeGreaterThan(screenPointOf(square, size, 120, 300).yPx);
  });

  it('finds the point of the cloth that it shows at a place, whatever the tilt', () => {
    for (const pose of tilted) {
      for (const [right, up] of [
        [0, 0],
        [-80, 40],
        [22, -96],
      ]) {
        const x = pose.targetXMm + right * pose.mmPerPx;
        const y = pose.targetYMm + up * pose.mmPerPx;
        const seen = screenPointOf(pose, size, x, y);
        const found = clothPointAt(pose, size, seen.xPx, seen.yPx);
        expect(Math.abs(found!.xMm - x)).toBeLessThan(ROUNDING);
        expect(Math.abs(found!.yMm - y)).toBeLessThan(ROUNDING);
      }
    }
  });

  it('turned over, left and right change places and up stays up, as in the hand', () => {
    const over = turnedOver(square);
    const before = screenPointOf(square, size, 150, 200);
    const after = screenPointOf(over, size, 150, 200);
    expect(after.xPx).toBeCloseTo(size.widthPx - before.xPx, 6);
    expect(after.yPx).toBeCloseTo(before.yPx, 6);
    expect(sideOf(over)).toBe('back');
    expect(sideOf(turnedOver(over))).toBe('face');
  });

  it('coming nearer keeps the point under the pointer where it is', () => {
    for (const pose of tilted) {
      const under = clothPointAt(pose, size, 470, 260)!;
      const nearer = zoomedAt(pose, 0.5, 470, 260, size, extent);
      const still = screenPointOf(nearer, size, under.xMm, under.yMm);
      expect(nearer.mmPerPx).toBeCloseTo(pose.mmPerPx / 2, 9);
      expect(Math.abs(still.xPx - 470)).toBeLessThan(1);
      expect(Math.abs(still.yPx - 260)).toBeLessThan(1);
    }
  });

  it('moving along follows the pointer on either side', () => {
    for (const pose of [square, turnedOver(square)]) {
      const under = clothPointAt(pose, size, 400, 300)!;
      const moved = panned(pose, 30, -20, extent);
      const now = screenPointOf(moved, size, under.xMm, under.yMm);
      expect(now.xPx).toBeCloseTo(430, 6);
      expect(now.yPx).toBeCloseTo(280, 6);
    }
  });

  it('the whole cloth fits with a margin, and stays in reach while moving along', () => {
    const corners = [
      [0, 0],
      [240, 0],
      [0, 300],
      [240, 300],
    ];
    for (const preset of ['square', 'turned', 'low'] as const) {
      const fit = fitted(presetPose(square, preset), extent, size);
      const reach = corners.map(([x, y]) => {
        const corner = screenPointOf(fit, size, x, y);
        return Math.max(Math.abs(corner.xPx / 400 - 1), Math.abs(corner.yPx / 300 - 1));
      });
      // In view, and no smaller than it need be: the farthest corner comes close to the panel's edge.
      expect(Math.max(...reach)).toBeLessThan(0.95);
      expect(Math.max(...reach)).toBeGreaterThan(0.85);
    }
    const far = panned(square, 1e5, 1e5, extent);
    expect(far.targetXMm).toBe(0);
    expect(far.targetYMm).toBe(300);
  });

  it('never tips edge-on, and named views keep the side that is up', () => {
    const tipped = orbited(square, 0, 1e5, size);
    expect(Math.cos(tipped.pitchRad)).toBeGreaterThan(0.1);
    for (const preset of ['square', 'turned', 'low'] as const) {
      expect(sideOf(presetPose(square, preset))).toBe('face');
      expect(sideOf(presetPose(turnedOver(square), preset))).toBe('back');
    }
  });

  it('turns to the window, so that what mirrors it is near: lustre shows there', () => {
    const eye = createEye();
    // Between window and eye, where a mirror would face; in the room's axes.
    const [x, y, z] = NORTH_LIGHT.towards.map((value) => value / Math.hypot(...NORTH_LIGHT.towards));
    const half = [x, y, z + 1].map((value) => value / Math.hypot(x, y, z + 1));
    const off = (preset: 'square' | 'turned') => {
      placeEye(eye, { ...FACE_POSE, ...clothPose(presetPose(square, preset), 1) }, 600, 1);
      const normal = [eye.right[2], eye.up[2], -eye.forward[2]];
      return (Math.acos(normal.reduce((sum, value, k) => sum + value * half[k], 0)) * 180) / Math.PI;
    };
    expect(off('square')).toBeGreaterThan(20);
    expect(off('turned')).toBeLessThan(12);
  });
});
