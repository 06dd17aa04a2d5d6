import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import type { HairGroup, HairThreads } from '#engine/packing/hairThreads.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { cellAt } from '#engine/packing/threadSizes.ts';
import type { Eye } from './eye.ts';
import type { PicturePart } from './farWindow.ts';
import { leastPitch, partSeen } from './partSeen.ts';

/** One group of threads' hair in a part of a picture. */
export interface HairDraw {
  readonly group: HairGroup;
  /** First thread in the table, and how many. */
  readonly first: number;
  readonly threads: number;
  /** First cell along them, and how many. */
  readonly cell: number;
  readonly cells: number;
  /** Hairs of all lattices together, at most. */
  readonly places: number;
  /** One hair is drawn for so many, as many times as wide. */
  readonly stride: number;
  /** Straight pieces that a hair is drawn in. */
  readonly pieces: number;
  /** Whether its pixels bend it in one rectangle. */
  readonly whole: boolean;
  /** Whether each pixel tells the depth at which its own line of sight meets it: strands, and pile in few pixels. */
  readonly deep: boolean;
}

/** Most hairs drawn at a time; where there are more, some stand in for others. */
const MOST_HAIRS = 2 ** 20;
/** A hair finer than this share of a pixel stands in for others until it is as wide. */
const LEAST_WIDTH_PX = 1;
const MOST_PIECES = 12;
/** How far a curve strays from its straight pieces, over the square of their number: no curve by more than so much of its length, */
const STRAYS = 0.4;
/** and on average a yarn's by no more than this is enough. */
const STRAYS_PX = 0.3;
/** Hairs that bend by no more of their thickness are drawn whole: corners cost more than pixels beside the hair. */
const WHOLE_BOWS = 1;
/** Pile so few pixels high: in a band's own depth, as coarse as its pixels, roots would come before tips. */
const DEEP_PX = 4;
/** Of a band as wide as it is long one piece turns so far aside between its ends that 5 % of the pixels with hair were lost. */
const DEEP_PIECES = 3;

/** Where threads lie unevenly, so much further off than on average. */
const FAR_SURELY = 2;

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
    if (group.acrossMm && (group.acrossMm[0] > high[0] || group.acrossMm[1] < low[0])) continue;
    const warp = group.kind === ThreadKind.warp;
    const [across, along] = warp ? [0, 1] : [1, 0];
    const reach = group.heightMm + group.diameterMm + group.besideMm;
    const from = cellAt(group.placesMm, low[across] - reach) + 1;
    const threads = cellAt(group.placesMm, high[across] + reach) - from + 1;
    // Lattices are shifted by less than a cell, and hairs stay in theirs.
    const least = Math.max(low[along], cloth.bounds.min[along]);
    const most = Math.min(high[along], cloth.bounds.max[along]);
    // Of turns and tails each place is one cell.
    const cell = group.acrossMm ? 0 : Math.floor(least / group.cellMm) - 1;
    const cells = group.acrossMm ? 1 : Math.floor(most / group.cellMm) - cell + 1;
    if (threads <= 0 || cells <= 0 || most < least) continue;
    const places = threads * cells * group.lattices * group.around;
    const stride = Math.max(
      1,
      Math.floor((LEAST_WIDTH_PX * pixelMm) / group.diameterMm),
      Math.ceil(places / MOST_HAIRS),
    );
    const strays = Math.min((STRAYS * group.longestMm) / pixelMm, group.bowMm / (STRAYS_PX * pixelMm));
    const deep = group.strand || (group.pile && group.heightMm < DEEP_PX * pixelMm);
    const whole = !deep && group.bowMm <= WHOLE_BOWS * group.diameterMm;
    const fewest = deep && !group.strand ? DEEP_PIECES : 1;
    const pieces = whole ? 1 : Math.min(MOST_PIECES, Math.max(fewest, Math.ceil(Math.sqrt(strays))));
    draws.push({ group, first: group.first + from, threads, cell, cells, places, stride, pieces, whole, deep });
  }
  return draws;
}
