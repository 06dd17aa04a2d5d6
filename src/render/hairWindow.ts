import { vec3 } from 'gl-matrix';
import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import type { HairGroup, HairThreads } from '#engine/packing/hairThreads.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { cellAt } from '#engine/packing/threadSizes.ts';
import { type Eye, eyeRay } from './eye.ts';
import type { PicturePart } from './farWindow.ts';

/** One group of threads' hair in a part of a picture. */
export interface HairDraw {
  readonly group: HairGroup;
  /** First thread in the table, and how many. */
  readonly first: number;
  readonly threads: number;
  /** First cell along them, and how many. */
  readonly cell: number;
  readonly cells: number;
  /** Cells of all lattices together. */
  readonly places: number;
  /** One hair is drawn for so many, as many times as wide. */
  readonly stride: number;
  /** Straight pieces that a hair is drawn in. */
  readonly pieces: number;
}

/** Most hairs drawn at a time; where there are more, some stand in for others. */
const MOST_HAIRS = 2 ** 20;
/** A hair finer than this share of a pixel stands in for others until it is as wide. */
const LEAST_WIDTH_PX = 1;
const MOST_PIECES = 12;
/** How far a curve strays from its pieces, over its length and the square of their number. */
const STRAYS = 0.4;

/** Where threads lie unevenly, so much further off than on average. */
const FAR_SURELY = 2;

const origin = vec3.create();
const direction = vec3.create();

/**
 * Which hairs a part of a picture needs. Hairs finer than a pixel stand in for one another: one for several, as many times
 * as wide, another in each sample, so that as much is covered and the mean stays (Cook, Halstead, Planck and Ryu 2007,
 * "Stochastic simplification of aggregate detail", ACM TOG 26(3)).
 * @param width, height of the picture, pixels
 * @param hairFromMm the thinnest stray hair that is shown
 * @param farFrom a pixel's width over the distance between threads from where on the far picture stands alone
 */
export function hairDraws(
  cloth: PackedCloth,
  hairs: HairThreads,
  eye: Eye,
  width: number,
  height: number,
  part: PicturePart,
  hairFromMm: number,
  farFrom = Infinity,
): HairDraw[] {
  const { low, high, pixelMm } = partSeen(cloth, eye, width, height, part);
  if (pixelMm > FAR_SURELY * farFrom * leastPitch(cloth)) return [];
  const draws: HairDraw[] = [];
  for (const group of hairs.groups) {
    if (group.stray && group.diameterMm < hairFromMm) continue;
    const warp = group.kind === ThreadKind.warp;
    const [across, along] = warp ? [0, 1] : [1, 0];
    const reach = group.heightMm + group.diameterMm + group.besideMm;
    const from = cellAt(group.placesMm, low[across] - reach) + 1;
    const threads = cellAt(group.placesMm, high[across] + reach) - from + 1;
    // Lattices are shifted by less than a cell, and hairs stay in theirs.
    const least = Math.max(low[along], cloth.bounds.min[along]);
    const most = Math.min(high[along], cloth.bounds.max[along]);
    const cell = Math.floor(least / group.cellMm) - 1;
    const cells = Math.floor(most / group.cellMm) - cell + 1;
    if (threads <= 0 || cells <= 0 || most < least) continue;
    const places = threads * cells * group.around;
    const stride = Math.max(
      1,
      Math.floor((LEAST_WIDTH_PX * pixelMm) / group.diameterMm),
      Math.ceil(places / MOST_HAIRS),
    );
    const lengthPx = Math.hypot(group.cellMm, group.heightMm) / pixelMm;
    const pieces = Math.min(MOST_PIECES, Math.max(1, Math.ceil(Math.sqrt(STRAYS * lengthPx))));
    draws.push({ group, first: group.first + from, threads, cell, cells, places, stride, pieces });
  }
  return draws;
}

/** Mean distance between the threads of the closer family, mm. */
function leastPitch({ ends, lines, bounds: { min, max } }: PackedCloth): number {
  return Math.min((max[0] - min[0]) / ends, (max[1] - min[1]) / lines);
}

interface PartSeen {
  readonly low: [number, number];
  readonly high: [number, number];
  /** A pixel's width on the cloth where that is least. */
  readonly pixelMm: number;
}

/** What of the cloth's box a part of a picture shows, mm. */
function partSeen(cloth: PackedCloth, eye: Eye, width: number, height: number, part: PicturePart): PartSeen {
  const { min, max } = cloth.bounds;
  const low: [number, number] = [Infinity, Infinity];
  const high: [number, number] = [-Infinity, -Infinity];
  let pixelMm = Infinity;
  for (const [qx, qy] of [
    [-1, -1],
    [part.width + 1, -1],
    [-1, part.height + 1],
    [part.width + 1, part.height + 1],
  ]) {
    eyeRay(origin, direction, eye, part.x + qx - width / 2, part.y + qy - height / 2);
    for (const z of [min[2], max[2]]) {
      const t = (z - origin[2]) / direction[2];
      if (!(Math.abs(direction[2]) > 1e-3) || t <= eye.rayStart) {
        // The horizon is in the picture.
        return { low: [min[0], min[1]], high: [max[0], max[1]], pixelMm: nearestPixel(cloth, eye) };
      }
      pixelMm = Math.min(pixelMm, eye.mmPerPixel + eye.tanPerPixel * Math.max(0, t));
      for (const axis of [0, 1] as const) {
        const at = origin[axis] + t * direction[axis];
        low[axis] = Math.min(low[axis], at);
        high[axis] = Math.max(high[axis], at);
      }
    }
  }
  return { low, high, pixelMm };
}

/** A pixel's width where the cloth's box is nearest before the eye. */
function nearestPixel(cloth: PackedCloth, eye: Eye): number {
  return eye.mmPerPixel + eye.tanPerPixel * aheadOf(cloth, eye)[0];
}

/** How far before the eye the cloth's box begins and ends, mm; behind the eye there is nothing. */
export function aheadOf({ bounds: { min, max } }: PackedCloth, { eye, forward, tanPerPixel }: Eye): [number, number] {
  let near = Infinity;
  let far = -Infinity;
  for (let corner = 0; corner < 8; corner++) {
    let ahead = 0;
    for (let axis = 0; axis < 3; axis++) {
      ahead += ((corner >> axis) & 1 ? max[axis] : min[axis]) * forward[axis] - eye[axis] * forward[axis];
    }
    near = Math.min(near, ahead);
    far = Math.max(far, ahead);
  }
  if (tanPerPixel > 0) near = Math.max(near, LEAST_AHEAD * Math.max(far, LEAST_AHEAD));
  return [near, Math.max(far, near + LEAST_AHEAD)];
}

/** With perspective: nothing nearer than this share of the furthest; and so many mm deep at least. */
const LEAST_AHEAD = 0.01;
