import {
  type ClothExtent,
  type PanelSize,
  type Pose,
  type Side,
  screenPointOf,
  sideOf,
  turnedOver,
} from '#app/model/pose.ts';

/** What a sheet of pictures shows. */
export interface SheetAsked {
  readonly extent: ClothExtent;
  /** From left to right. */
  readonly sides: readonly Side[];
  /** How the cloth is held; its scale is that of the pictures. Each side is seen with the same yaw and pitch. */
  readonly pose: Pose;
  /** Of each picture, about the pose's target; 'whole' for all of the cloth with a margin, however it is turned. */
  readonly size: PanelSize | 'whole';
  readonly ruler: boolean;
}

/** Pictures of one size beside each other, and the sheet that they make. */
export interface SheetPlan {
  readonly poses: readonly Pose[];
  readonly picture: PanelSize;
  readonly sheet: PanelSize;
  readonly mmPerPx: number;
  readonly ruler: boolean;
}

export const MM_PER_INCH = 25.4;
/** Most pixels a side of a sheet: 36 million in all, which canvases of common browsers hold. */
export const MOST_SHEET_PX = 6000;
/** Ground left around a whole cloth, mm. */
const MARGIN_MM = 4;
const GAP_MM = 6;
const RULER_MM = 9;
/** Perspective changes with the picture's height, so the size is found in steps; each leaves a small part of the error. */
const SIZE_STEPS = 8;

/** Height that a ruler adds to a sheet, px. */
export function rulerHeightPx(mmPerPx: number): number {
  return Math.max(24, Math.round(RULER_MM / mmPerPx));
}

/** Between two pictures, px. */
export function gapPx(mmPerPx: number): number {
  return Math.max(4, Math.round(GAP_MM / mmPerPx));
}

export function planSheet({ extent, sides, pose, size, ruler }: SheetAsked): SheetPlan {
  const { mmPerPx } = pose;
  const middle = {
    targetXMm: (extent.minXMm + extent.maxXMm) / 2,
    targetYMm: (extent.minYMm + extent.maxYMm) / 2,
  };
  const held = size === 'whole' ? { ...pose, ...middle } : pose;
  const poses = sides.map((side) => (sideOf(held) === side ? held : turnedOver(held)));
  const picture = size === 'whole' ? sizeOfWhole(poses, extent) : size;
  return {
    poses,
    picture,
    sheet: {
      widthPx: sides.length * picture.widthPx + (sides.length - 1) * gapPx(mmPerPx),
      heightPx: picture.heightPx + (ruler ? rulerHeightPx(mmPerPx) : 0),
    },
    mmPerPx,
    ruler,
  };
}

/** The least size that holds all corners of the cloth, in every pose, with a margin. */
function sizeOfWhole(poses: readonly Pose[], { minXMm, maxXMm, minYMm, maxYMm }: ClothExtent): PanelSize {
  const { mmPerPx } = poses[0];
  const margin = MARGIN_MM / mmPerPx;
  let size: PanelSize = { widthPx: (maxXMm - minXMm) / mmPerPx, heightPx: (maxYMm - minYMm) / mmPerPx };
  for (let step = 0; step < SIZE_STEPS; step++) {
    let across = 0;
    let up = 0;
    for (const pose of poses) {
      for (const xMm of [minXMm, maxXMm]) {
        for (const yMm of [minYMm, maxYMm]) {
          const { xPx, yPx } = screenPointOf(pose, size, xMm, yMm);
          across = Math.max(across, Math.abs(xPx - size.widthPx / 2));
          up = Math.max(up, Math.abs(yPx - size.heightPx / 2));
        }
      }
    }
    size = { widthPx: Math.ceil(2 * (across + margin)), heightPx: Math.ceil(2 * (up + margin)) };
  }
  return size;
}

/** Why a sheet is too large and what to do, or undefined. */
export function sheetRefusal({ sheet, mmPerPx }: SheetPlan): string | undefined {
  const { widthPx, heightPx } = sheet;
  const most = Math.max(widthPx, heightPx);
  if (most <= MOST_SHEET_PX) return undefined;
  const dotsPerInch = MM_PER_INCH / mmPerPx;
  const fits = Math.floor((dotsPerInch * MOST_SHEET_PX) / most);
  return `At ${Math.round(dotsPerInch)} dpi the picture is ${widthPx} × ${heightPx} px, more than ${MOST_SHEET_PX} a side: ask for ${fits} dpi or less, for one side, or for a part of the cloth.`;
}
