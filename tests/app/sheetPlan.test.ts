import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ClothExtent, type Pose, presetPose, screenPointOf, sideOf } from '#app/model/pose.ts';
import { gapPx, MM_PER_INCH, MOST_SHEET_PX, planSheet, rulerHeightPx, sheetRefusal } from '#app/still/sheetPlan.ts';

const extent: ClothExtent = { minXMm: -2, maxXMm: 98, minYMm: 10, maxYMm: 60 };
const flat: Pose = { targetXMm: 0, targetYMm: 0, yawRad: 0, pitchRad: 0, mmPerPx: 1 };
const atDpi = (pose: Pose, dotsPerInch: number): Pose => ({ ...pose, mmPerPx: MM_PER_INCH / dotsPerInch });

describe('a sheet of pictures', () => {
  // 100 mm by 50 mm and 4 mm about them, at 254 dots an inch: ten pixels to the millimetre.
  it('holds the whole cloth at true scale, about its middle', () => {
    const plan = planSheet({ extent, sides: ['face'], pose: atDpi(flat, 254), size: 'whole', ruler: false });
    expect(plan.sheet).toEqual({ widthPx: 1080, heightPx: 580 });
    expect(plan.poses[0].targetXMm).toBeCloseTo(48, 9);
    expect(plan.poses[0].targetYMm).toBeCloseTo(35, 9);
  });

  it('sets both sides beside each other with a gap, and a ruler below', () => {
    const pose = atDpi(flat, 254);
    const plan = planSheet({ extent, sides: ['face', 'back'], pose, size: 'whole', ruler: true });
    expect(plan.poses.map(sideOf)).toEqual(['face', 'back']);
    expect(plan.sheet.widthPx).toBe(2 * 1080 + gapPx(pose.mmPerPx));
    expect(plan.sheet.heightPx).toBe(580 + rulerHeightPx(pose.mmPerPx));
  });

  it('holds every corner of a cloth however it is turned, with room to spare, seed 11', () => {
    const turn = fc.record({
      yawRad: fc.double({ min: -3.2, max: 3.2, noNaN: true }),
      pitchRad: fc.double({ min: -1.2, max: 1.2, noNaN: true }),
      dpi: fc.integer({ min: 72, max: 600 }),
    });
    fc.assert(
      fc.property(turn, ({ yawRad, pitchRad, dpi }) => {
        const pose = atDpi({ ...flat, yawRad, pitchRad }, dpi);
        const { poses, picture } = planSheet({ extent, sides: ['face', 'back'], pose, size: 'whole', ruler: false });
        for (const each of poses) {
          for (const x of [extent.minXMm, extent.maxXMm]) {
            for (const y of [extent.minYMm, extent.maxYMm]) {
              const { xPx, yPx } = screenPointOf(each, picture, x, y);
              expect(xPx).toBeGreaterThan(0);
              expect(xPx).toBeLessThan(picture.widthPx);
              expect(yPx).toBeGreaterThan(0);
              expect(yPx).toBeLessThan(picture.heightPx);
            }
          }
        }
      }),
      { seed: 11, numRuns: 200 },
    );
  });

  it('is refused beyond its most pixels, with a scale that does fit', () => {
    const pose = atDpi(presetPose(flat, 'square'), 2400);
    const asked = { extent, sides: ['face', 'back'], pose, size: 'whole', ruler: true } as const;
    const refusal = sheetRefusal(planSheet(asked))!;
    const fits = Number(/ask for (\d+) dpi/.exec(refusal)![1]);
    expect(fits).toBeGreaterThan(600);
    const fitting = planSheet({ ...asked, pose: atDpi(pose, fits) });
    expect(sheetRefusal(fitting)).toBeUndefined();
    // What is named wastes little of what is held.
    expect(Math.max(fitting.sheet.widthPx, fitting.sheet.heightPx)).toBeGreaterThan(0.98 * MOST_SHEET_PX);
  });
});
