import { type ClothExtent, type PanelSize, type Pose, screenPointOf } from '#app/model/pose.ts';
import { leastBendRadiusMm, warpwiseStiffnessNmm } from '#engine/cloth/bendRadius.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type Drape, drapeOver, panelAt, placeOutOf } from '#engine/packing/walk/drape.ts';
import type { ForecastResult } from '#workers/protocol.ts';

/** Of how far anything, hair too, stands off the middle to the back: the axis lies beyond it. */
const CLEAR_OF_BACK = 1.05;
/** Share of the picture that the cloth takes at most. */
const FIT_SHARE = 0.92;
const FIT_STEPS = 12;
/** Beyond it the picture is shifted less than need be in one step. */
const LEAST_FORESHORTENING = 0.25;
const POINTS_ALONG = 40;

export interface DrapedStill {
  readonly drape: Drape;
  /** Of the cloth's back: that of the edge, unless the cloth is too stiff or too thick to follow it. */
  readonly radiusMm: number;
}

/**
 * The cloth in the middle of its length over an edge, its first picks hanging.
 * @param edgeRadiusMm of the cylinder that it is asked to lie over
 */
export function drapedStill(
  problem: ClothProblem,
  { packed, readings }: ForecastResult,
  edgeRadiusMm: number,
): DrapedStill {
  const { min, max } = packed.bounds;
  const hangingMm = (max[1] - min[1]) / 2;
  const halfMm = readings.thicknessMm.value / 2;
  const byWeight = leastBendRadiusMm(warpwiseStiffnessNmm(problem), readings.weightGPerM2.value, hangingMm);
  const middleMm = Math.max(edgeRadiusMm + halfMm, byWeight, CLEAR_OF_BACK * -min[2]);
  return { drape: drapeOver((min[1] + max[1]) / 2, middleMm), radiusMm: middleMm - halfMm };
}

/** The pose from which all of the draped cloth is seen, angles kept. */
export function drapedPose(pose: Pose, drape: Drape, extent: ClothExtent, size: PanelSize): Pose {
  const { minXMm, maxXMm, minYMm, maxYMm } = extent;
  const middleYMm = (minYMm + maxYMm) / 2;
  const [targetYMm] = placeOutOf(drape, panelAt(drape, middleYMm), middleYMm, 0);
  let fit: Pose = { ...pose, targetXMm: (minXMm + maxXMm) / 2, targetYMm, mmPerPx: (maxXMm - minXMm) / size.widthPx };
  for (let step = 0; step < FIT_STEPS; step++) {
    const across = { least: Number.POSITIVE_INFINITY, most: Number.NEGATIVE_INFINITY };
    const down = { ...across };
    for (let k = 0; k <= POINTS_ALONG; k++) {
      const flatYMm = minYMm + ((maxYMm - minYMm) * k) / POINTS_ALONG;
      const [yMm, zMm] = placeOutOf(drape, panelAt(drape, flatYMm), flatYMm, 0);
      for (const xMm of [minXMm, maxXMm]) {
        const { xPx, yPx } = screenPointOf(fit, size, xMm, yMm, zMm);
        for (const [range, px] of [
          [across, xPx],
          [down, yPx],
        ] as const) {
          range.least = Math.min(range.least, px);
          range.most = Math.max(range.most, px);
        }
      }
    }
    const share = Math.max((across.most - across.least) / size.widthPx, (down.most - down.least) / size.heightPx);
    const offPx = {
      right: (across.least + across.most - size.widthPx) / 2,
      down: (down.least + down.most - size.heightPx) / 2,
    };
    fit = {
      ...fit,
      // Near enough for small yaws; what is left is mended in the next step.
      targetXMm: fit.targetXMm + offPx.right * fit.mmPerPx,
      targetYMm: fit.targetYMm - (offPx.down * fit.mmPerPx) / Math.max(LEAST_FORESHORTENING, Math.cos(fit.pitchRad)),
      mmPerPx: fit.mmPerPx * Math.min(Math.max(share, 1e-3) / FIT_SHARE, 4),
    };
  }
  return fit;
}
