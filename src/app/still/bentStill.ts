import type { ClothExtent, PanelSize, Pose, PresetView, Side } from '#app/model/pose.ts';
import { screenPointOf } from '#app/model/pose.ts';
import { type Drape, panelAt, placeOutOf } from '#engine/packing/walk/drape.ts';

/** Of how far anything, hair too, stands off the middle to the side of the axis: the axis lies beyond it. */
export const CLEAR_OF_CLOTH = 1.05;
/** Share of the picture that the cloth takes at most. */
const FIT_SHARE = 0.92;
const FIT_STEPS = 12;
/** Beyond it the picture is shifted less than need be in one step. */
const LEAST_FORESHORTENING = 0.25;
const POINTS_ALONG = 80;

/** A cloth that is bent for its picture. */
export interface BentStill {
  readonly drape: Drape;
  /** The side that is up, and from where it is seen best. */
  readonly side: Side;
  readonly view: PresetView;
}

/** The pose from which all of the bent cloth is seen, angles kept. */
export function bentPose(pose: Pose, drape: Drape, extent: ClothExtent, size: PanelSize): Pose {
  const { minXMm, maxXMm, minYMm, maxYMm } = extent;
  const places = placesOf(drape, extent);
  const middle = placeOf(drape, (minXMm + maxXMm) / 2, (minYMm + maxYMm) / 2);
  let fit: Pose = { ...pose, targetXMm: middle[0], targetYMm: middle[1], mmPerPx: (maxXMm - minXMm) / size.widthPx };
  const facing = Math.cos(pose.yawRad) < 0 ? -1 : 1;
  for (let step = 0; step < FIT_STEPS; step++) {
    const across = { least: Number.POSITIVE_INFINITY, most: Number.NEGATIVE_INFINITY };
    const down = { ...across };
    for (const place of places) {
      const { xPx, yPx } = screenPointOf(fit, size, ...place);
      for (const [range, px] of [
        [across, xPx],
        [down, yPx],
      ] as const) {
        range.least = Math.min(range.least, px);
        range.most = Math.max(range.most, px);
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
      targetXMm: fit.targetXMm + facing * offPx.right * fit.mmPerPx,
      targetYMm: fit.targetYMm - (offPx.down * fit.mmPerPx) / Math.max(LEAST_FORESHORTENING, Math.cos(fit.pitchRad)),
      mmPerPx: fit.mmPerPx * Math.min(Math.max(share, 1e-3) / FIT_SHARE, 4),
    };
  }
  return fit;
}

type Place = [xMm: number, yMm: number, zMm: number];

function placeOf(drape: Drape, xMm: number, yMm: number): Place {
  const flatMm = drape.acrossWidth ? xMm : yMm;
  const [alongMm, zMm] = placeOutOf(drape, panelAt(drape, flatMm), flatMm, 0);
  return drape.acrossWidth ? [alongMm, yMm, zMm] : [xMm, alongMm, zMm];
}

/** Both margins that bending leaves straight to see, from end to end. */
function placesOf(drape: Drape, { minXMm, maxXMm, minYMm, maxYMm }: ClothExtent): Place[] {
  const step = (least: number, most: number, k: number) => least + ((most - least) * k) / POINTS_ALONG;
  return Array.from({ length: POINTS_ALONG + 1 }, (_, k) =>
    drape.acrossWidth
      ? [minYMm, maxYMm].map((y) => placeOf(drape, step(minXMm, maxXMm, k), y))
      : [minXMm, maxXMm].map((x) => placeOf(drape, x, step(minYMm, maxYMm, k))),
  ).flat();
}
