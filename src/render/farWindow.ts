import { vec3 } from 'gl-matrix';
import { THREAD_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { type Eye, eyeRay } from './eye.ts';

/** The part of the cloth that the far picture holds. */
export interface FarWindow {
  /** First end and line. */
  readonly end: number;
  readonly line: number;
  /** Crossings on a texel's side. */
  readonly block: number;
  /** Texels of a crossing, across and up, where a block is one: no finer than a pixel. */
  readonly parts: readonly [number, number];
  /** Texels: powers of two, beyond SIDE_STEP multiples of it. */
  readonly width: number;
  readonly height: number;
  /** What of the cloth's plane that is, if threads were evenly apart: left, bottom, right, top, mm. */
  readonly spanMm: readonly [number, number, number, number];
  /** Greatest width of a pixel on the cloth over the distance between threads, found at the part's corners and middle. */
  readonly footprint: number;
}

/** As many texels as a wide screen has pixels: where threads are finer than pixels, a block's are too. */
const MOST_SIDE = 2048;
/** Small copies of a side halve evenly down to one for all of it, or for SIDE_STEP texels. */
const SIDE_STEP = 128;
const LEAST_SIDE = 16;
/**
 * Texels for each pixel of the picture: with two, those of a cloth seen square-on are never wider than what a lookup spreads
 * over (FAR_SOFT in shaders/cloth/farView.glsl), and all pictures of a canvas stay within memory.
 */
const TEXELS_A_PIXEL = 2;
/** However small the picture: margins weigh more there. */
const FREE_TEXELS = 2 ** 19;
/** Crossings beyond the picture's edge, for footprints and jitter. */
const MARGIN = 8;
/** The corner moves by whole steps of this many texels, so that smaller copies keep theirs as the cloth slides by. */
const STEP = 32;
/** Most texels on a crossing's side; STEP is a multiple of them. */
const MOST_PARTS = 4;

const origin = vec3.create();
const direction = vec3.create();

/** Pixels from the picture's bottom left. */
export interface PicturePart {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Texels that a window on a picture of so many pixels never has more of, wherever the cloth is looked at from. */
export function mostFarTexels(cloth: PackedCloth, pixels: number): number {
  const ofCloth = sideHolding(MOST_PARTS * cloth.ends + STEP) * sideHolding(MOST_PARTS * cloth.lines + STEP);
  return Math.min(ofCloth, Math.max(FREE_TEXELS, TEXELS_A_PIXEL * pixels));
}

/**
 * @param width, height of the picture, pixels
 * @param part of it that is drawn
 * @param mostParts of a crossing, across times up
 */
export function farWindow(
  cloth: PackedCloth,
  eye: Eye,
  width: number,
  height: number,
  part: PicturePart = { x: 0, y: 0, width, height },
  mostParts = MOST_PARTS ** 2,
): FarWindow {
  const z = 0.5 * (cloth.bounds.min[2] + cloth.bounds.max[2]);
  const endX = (k: number) => cloth.endTable[k * THREAD_TEXELS * 4];
  const lineY = (k: number) => cloth.lineTable[k * 4];
  const [x0, x1] = [endX(0), endX(cloth.ends - 1)];
  const [y0, y1] = [lineY(0), lineY(cloth.lines - 1)];
  const pitchX = (x1 - x0) / Math.max(1, cloth.ends - 1) || 1;
  const pitchY = (y1 - y0) / Math.max(1, cloth.lines - 1) || 1;
  let low: [number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  let high: [number, number] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  // Across and up, and in the middle.
  const widest: [number, number] = [0, 0];
  let middle: [number, number] | undefined;
  let whole = false;
  for (const [qx, qy] of [
    [0.5, 0.5],
    [0, 0],
    [1, 0],
    [0, 1],
    [1, 1],
  ]) {
    eyeRay(origin, direction, eye, part.x + qx * part.width - width / 2, part.y + qy * part.height - height / 2);
    const t = (z - origin[2]) / direction[2];
    if (!(Math.abs(direction[2]) > 1e-3) || t <= eye.rayStart) {
      // The picture holds the horizon.
      whole = true;
      widest.fill(Number.POSITIVE_INFINITY);
      continue;
    }
    const mm = eye.mmPerPixel + eye.tanPerPixel * Math.max(0, t);
    for (const across of [eye.right, eye.up]) {
      const lean = across[2] / direction[2];
      widest[0] = Math.max(widest[0], (mm * Math.abs(across[0] - direction[0] * lean)) / pitchX);
      widest[1] = Math.max(widest[1], (mm * Math.abs(across[1] - direction[1] * lean)) / pitchY);
    }
    middle ??= [...widest];
    const at = [origin[0] + t * direction[0], origin[1] + t * direction[1]];
    low = [Math.min(low[0], at[0]), Math.min(low[1], at[1])];
    high = [Math.max(high[0], at[0]), Math.max(high[1], at[1])];
  }
  const ends = threadsWithin(endX, cloth.ends, whole ? x0 : low[0], whole ? x1 : high[0]);
  const lines = threadsWithin(lineY, cloth.lines, whole ? y0 : low[1], whole ? y1 : high[1]);
  const most = Math.max(ends.count, lines.count);
  // Room for the corner's step as well.
  let block = Math.max(1, Math.ceil(most / (MOST_SIDE - STEP)));
  const parts: [number, number] = block > 1 || !middle ? [1, 1] : [partsOf(middle[0]), partsOf(middle[1])];
  const sideOf = (count: number, parts: number) => sideHolding(Math.ceil((count * parts) / block) + STEP);
  const texels = () => sideOf(ends.count, parts[0]) * sideOf(lines.count, parts[1]);
  const mostTexels = Math.max(FREE_TEXELS, TEXELS_A_PIXEL * part.width * part.height);
  const tooFine = () =>
    texels() > mostTexels ||
    parts[0] * parts[1] > mostParts ||
    Math.max(ends.count * parts[0], lines.count * parts[1]) > MOST_SIDE - STEP;
  while (parts[0] * parts[1] > 1 && tooFine()) parts[parts[0] > parts[1] ? 0 : 1] /= 2;
  while (texels() > mostTexels && block < most) block++;
  const snap = (first: number, parts: number) => (Math.floor((first * parts) / (STEP * block)) * STEP * block) / parts;
  const [end, line] = [snap(ends.first, parts[0]), snap(lines.first, parts[1])];
  const [across, up] = [sideOf(ends.count, parts[0]), sideOf(lines.count, parts[1])];
  return {
    end,
    line,
    block,
    parts,
    width: across,
    height: up,
    spanMm: [
      x0 + end * pitchX,
      y0 + line * pitchY,
      x0 + (end + (block * across) / parts[0]) * pitchX,
      y0 + (line + (block * up) / parts[1]) * pitchY,
    ],
    footprint: Math.max(...widest),
  };
}

/** Of a crossing that a pixel covers this much of, on a side: none finer than the pixel. */
function partsOf(footprint: number): number {
  return Math.min(MOST_PARTS, 2 ** Math.max(0, Math.floor(Math.log2(1 / footprint))));
}

function sideHolding(texels: number): number {
  if (texels > SIDE_STEP) return Math.ceil(texels / SIDE_STEP) * SIDE_STEP;
  return Math.max(LEAST_SIDE, 2 ** Math.ceil(Math.log2(texels)));
}

/** Threads of a family between two positions, with a margin. */
function threadsWithin(
  position: (k: number) => number,
  count: number,
  from: number,
  to: number,
): { first: number; count: number } {
  const first = Math.max(0, lastUpTo(position, count, from) - MARGIN);
  const last = Math.min(count - 1, lastUpTo(position, count, to) + 1 + MARGIN);
  return { first, count: Math.max(1, last - first + 1) };
}

function lastUpTo(position: (k: number) => number, count: number, at: number): number {
  let lo = 0;
  let hi = count - 1;
  while (lo < hi) {
    const middle = (lo + hi + 1) >> 1;
    if (position(middle) <= at) lo = middle;
    else hi = middle - 1;
  }
  return lo;
}
