import { type ClothExtent, type PanelSize, type Pose, screenPointOf } from '#app/model/pose.ts';
import { leastBendRadiusMm, warpwiseStiffnessNmm } from '#engine/cloth/bendRadius.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type Drape, drapeOver, panelAt, placeOutOf } from '#engine/packing/walk/drape.ts';
import type { ForecastResult } from '#workers/protocol.ts';

/** Room within the bend for hair and for what stands off the back, in radii of the cloth's own reach. */
const CLEAR_OF_BACK = 1.05;
/** Share of the picture that the cloth takes at most. */
const FIT_SHARE = 0.92;
const FIT_STEPS = 6;
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
  const backMm = -min[2];
  const byWeight = leastBendRadiusMm(warpwiseStiffnessNmm(problem), readings.weightGPerM2.value, hangingMm);
  const middleMm = Math.max(edgeRadiusMm + backMm, byWeight, CLEAR_OF_BACK * backMm);
  return { drape: drapeOver((min[1] + max[1]) / 2, middleMm), radiusMm: middleMm - backMm };
}

/** The pose about the bend from which all of the draped cloth is seen, angles kept. */
export function drapedPose(pose: Pose, drape: Drape, extent: ClothExtent, size: PanelSize): Pose {
  const { minXMm, maxXMm, minYMm, maxYMm } = extent;
  const middleYMm = (minYMm + maxYMm) / 2;
  const [targetYMm] = placeOutOf(drape, panelAt(drape, middleYMm), middleYMm, 0);
  let fit: Pose = { ...pose, targetXMm: (minXMm + maxXMm) / 2, targetYMm, mmPerPx: (maxXMm - minXMm) / size.widthPx };
  for (let step = 0; step < FIT_STEPS; step++) {
    let share = 1e-3;
    for (let k = 0; k <= POINTS_ALONG; k++) {
      const flatYMm = minYMm + ((maxYMm - minYMm) * k) / POINTS_ALONG;
      const [yMm, zMm] = placeOutOf(drape, panelAt(drape, flatYMm), flatYMm, 0);
      for (const xMm of [minXMm, maxXMm]) {
        const { xPx, yPx } = screenPointOf(fit, size, xMm, yMm, zMm);
        share = Math.max(share, Math.abs((2 * xPx) / size.widthPx - 1), Math.abs((2 * yPx) / size.heightPx - 1));
      }
    }
    fit = { ...fit, mmPerPx: fit.mmPerPx * Math.min(share / FIT_SHARE, 4) };
  }
  return fit;
}
