import type { Patch } from '#engine/colour/photograph.ts';

export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

/** Side of a patch set by a click, and of both as the picture opens, over the picture's shorter side. */
const firstShare = 0.16;
const leastSide = 4;

/** Where a key moves a patch, as a share of the picture's shorter side. */
const stepShare = 0.02;

const clamp = (value: number, least: number, most: number) => Math.min(Math.max(value, least), most);

/** A patch of whole pixels inside the picture, of at least four a side. */
function patchWithin({ width, height }: PictureSize, patch: Patch): Patch {
  const w = clamp(Math.round(patch.width), Math.min(leastSide, width), width);
  const h = clamp(Math.round(patch.height), Math.min(leastSide, height), height);
  return {
    x: clamp(Math.round(patch.x), 0, width - w),
    y: clamp(Math.round(patch.y), 0, height - h),
    width: w,
    height: h,
  };
}

/** A square patch of the first size about a point, pixels of the picture. */
export function patchAbout(size: PictureSize, x: number, y: number): Patch {
  const side = firstShare * Math.min(size.width, size.height);
  return patchWithin(size, { x: x - side / 2, y: y - side / 2, width: side, height: side });
}

/** The patch between two corners, as far as the picture goes. */
export function patchBetween(size: PictureSize, x0: number, y0: number, x1: number, y1: number): Patch {
  const [left, right] = [x0, x1].map((x) => clamp(x, 0, size.width)).sort((a, b) => a - b);
  const [top, bottom] = [y0, y1].map((y) => clamp(y, 0, size.height)).sort((a, b) => a - b);
  return patchWithin(size, { x: left, y: top, width: right - left, height: bottom - top });
}

const arrows: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** What a key makes of a patch: arrows move it, with Shift they resize it about its middle; undefined for other keys. */
export function patchByKey(size: PictureSize, patch: Patch, key: string, shift: boolean): Patch | undefined {
  const arrow = arrows[key];
  if (!arrow) return undefined;
  const step = Math.max(1, Math.round(stepShare * Math.min(size.width, size.height)));
  const [dx, dy] = [arrow[0] * step, arrow[1] * step];
  if (!shift) return patchWithin(size, { ...patch, x: patch.x + dx, y: patch.y + dy });
  // Up is taller, as right is wider.
  const width = Math.max(leastSide, patch.width + dx);
  const height = Math.max(leastSide, patch.height - dy);
  return patchWithin(size, {
    x: patch.x - (width - patch.width) / 2,
    y: patch.y - (height - patch.height) / 2,
    width,
    height,
  });
}
