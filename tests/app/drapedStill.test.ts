import { describe, expect, test } from 'vitest';
import { type Pose, presetPose, screenPointOf } from '#app/model/pose.ts';
import { bentPose } from '#app/still/bentStill.ts';
import { drapedStill } from '#app/still/drapedStill.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { leastBendRadiusMm, warpwiseStiffnessNmm } from '#engine/cloth/bendRadius.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { drapeOver, panelAt, placeOutOf } from '#engine/packing/walk/drape.ts';
import { finish } from '#tests/helpers/finish.ts';
import { sample } from '#tests/presets/presetFiles.ts';
import type { ForecastResult } from '#workers/protocol.ts';

const extent = { minXMm: 0, maxXMm: 120, minYMm: -10, maxYMm: 150 };
const flat: Pose = { targetXMm: 0, targetYMm: 0, yawRad: 0, pitchRad: 0, mmPerPx: 1 };

describe('a draped still', () => {
  test.each(['square', 'turned', 'low'] as const)('holds the whole cloth in its middle, seen %s', (view) => {
    const size = { widthPx: 400, heightPx: 300 };
    const drape = drapeOver(70, 25);
    const pose = bentPose(presetPose(flat, view), drape, extent, size);
    const seen = [-10, 20, 50, 70, 90, 120, 150].flatMap((y) =>
      [0, 120].map((x) => screenPointOf(pose, size, x, ...placeOutOf(drape, panelAt(drape, y), y, 0))),
    );
    const range = (px: readonly number[]) => [Math.min(...px), Math.max(...px)];
    const [left, right] = range(seen.map(({ xPx }) => xPx));
    const [top, bottom] = range(seen.map(({ yPx }) => yPx));
    expect(left).toBeGreaterThan(0);
    expect(top).toBeGreaterThan(0);
    // In the middle to a few pixels, and as large as fits.
    expect(Math.abs(left + right - size.widthPx)).toBeLessThan(12);
    expect(Math.abs(top + bottom - size.heightPx)).toBeLessThan(12);
    expect(Math.max((right - left) / size.widthPx, (bottom - top) / size.heightPx)).toBeGreaterThan(0.85);
  });

  test('bends over the edge asked for, or as its own weight lets it', () => {
    const { problem } = toClothProblem(sample('boat-paint'));
    const { readings } = finish(forecastCloth(problem, 'preview'));
    const bounds = { min: [0, 0, -0.5], max: [100, 100, 0.5] };
    const over = (radius: number) =>
      drapedStill(problem, { packed: { bounds }, readings } as unknown as ForecastResult, radius).radiusMm;
    expect(over(40)).toBeCloseTo(40, 9);
    const own = leastBendRadiusMm(warpwiseStiffnessNmm(problem), readings.weightGPerM2.value, 50);
    expect(own).toBeGreaterThan(1);
    expect(own).toBeLessThan(40);
    expect(over(0.1)).toBeCloseTo(own - readings.thicknessMm.value / 2, 9);
  });
});
