import { type LinearRgb, luminance } from './colour.ts';

/** A picture as a page decodes it: RGBA, sRGB, 8 bits, top row first. */
export interface Photograph {
  readonly width: number;
  readonly height: number;
  readonly pixels: Uint8ClampedArray;
}

/** Whole pixels from the top left. */
export interface Patch {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Something about a photograph that makes its colour doubtful. */
export type PhotographDoubt =
  | { readonly kind: 'overexposed'; readonly patch: 'yarn' | 'card'; readonly share: number }
  | { readonly kind: 'dark'; readonly level: number }
  | { readonly kind: 'uneven'; readonly ratio: number }
  | { readonly kind: 'overlap' }
  | { readonly kind: 'gamut'; readonly most: number };

export interface PhotographColour {
  /** Reflectance of the yarn, each channel 0..1. */
  readonly reflectance: LinearRgb;
  readonly doubts: readonly PhotographDoubt[];
}

/** Codes from here on may stand for any light above: sensors and their curves flatten there (common practice). */
const CLIP_CODE = 250;
/** Fewer may be specks of dust or single glints. */
const CLIP_SHARE = 0.01;
/** Linear light of the card below which 8-bit codes are coarser than a just visible step: code 38. */
const DARK_LEVEL = 0.02;
/** Quarters of an evenly lit card differ by less: a tenth of the light is 2 L* of a mid grey and 4 of white. */
const UNEVEN_RATIO = 1.1;
/** Over this, a channel beyond 1 is more than rounding. */
const GAMUT_SLACK = 0.005;
const LEAST_SIDE = 4;

/** IEC 61966-2-1, from 8-bit codes to linear light. */
const LINEAR = Float64Array.from({ length: 256 }, (_, code) => {
  const value = code / 255;
  return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
});

interface PatchLight {
  readonly mean: [number, number, number];
  readonly clippedShare: number;
}

function lightOf(photograph: Photograph, patch: Patch): PatchLight {
  const { pixels, width } = photograph;
  const mean: [number, number, number] = [0, 0, 0];
  let clipped = 0;
  for (let y = patch.y; y < patch.y + patch.height; y++) {
    for (let x = patch.x; x < patch.x + patch.width; x++) {
      const at = (y * width + x) * 4;
      mean[0] += LINEAR[pixels[at]];
      mean[1] += LINEAR[pixels[at + 1]];
      mean[2] += LINEAR[pixels[at + 2]];
      if (Math.max(pixels[at], pixels[at + 1], pixels[at + 2]) >= CLIP_CODE) clipped++;
    }
  }
  const count = patch.width * patch.height;
  for (let channel = 0; channel < 3; channel++) mean[channel] /= count;
  return { mean, clippedShare: clipped / count };
}

/** The brightest quarter of a patch over its darkest. */
function unevenness(photograph: Photograph, patch: Patch): number {
  const left = patch.width >> 1;
  const top = patch.height >> 1;
  const quarters = [0, 1, 2, 3].map((k) => {
    const x = patch.x + (k & 1 ? left : 0);
    const y = patch.y + (k & 2 ? top : 0);
    const width = k & 1 ? patch.width - left : left;
    const height = k & 2 ? patch.height - top : top;
    return luminance(lightOf(photograph, { x, y, width, height }).mean);
  });
  return Math.max(...quarters) / Math.max(Math.min(...quarters), 1e-6);
}

function checkPatch({ width, height }: Photograph, patch: Patch, name: string): void {
  const { x, y } = patch;
  if (![x, y, patch.width, patch.height].every(Number.isInteger)) {
    throw new RangeError(`${name}: ${patch.width} × ${patch.height} at ${x}, ${y} is not whole pixels; round it`);
  }
  if (patch.width < LEAST_SIDE || patch.height < LEAST_SIDE) {
    throw new RangeError(
      `${name}: ${patch.width} × ${patch.height} pixels are too few; mark at least ${LEAST_SIDE} × ${LEAST_SIDE}`,
    );
  }
  if (x < 0 || y < 0 || x + patch.width > width || y + patch.height > height) {
    throw new RangeError(`${name}: reaches beyond the picture of ${width} × ${height} pixels; move it inside`);
  }
}

function overlaps(a: Patch, b: Patch): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

/**
 * Colour of a yarn photographed beside a card of known reflectance, in one light: mean linear light of the yarn over
 * that of the card, times the card's reflectance, channel by channel (a von Kries scaling in the camera's primaries,
 * J. von Kries 1902). It takes away exposure and the light's cast; what a camera's curve adds to sRGB's stays in.
 * The mean holds the shadows between threads: of a closely wound cone it is the cone's colour.
 * @param cardReflectance 0..1, the same in each channel: 0.18 of a grey card, about 0.9 of a white one
 * @throws RangeError where a patch is too small or lies beyond the picture, or where the card's light is none
 */
export function colourFromPhotograph(
  photograph: Photograph,
  card: Patch,
  yarn: Patch,
  cardReflectance: number,
): PhotographColour {
  checkPatch(photograph, card, 'card');
  checkPatch(photograph, yarn, 'yarn');
  if (!(cardReflectance > 0 && cardReflectance <= 1)) {
    throw new RangeError(`card: reflectance ${cardReflectance} cannot be; give a share above 0 and up to 1`);
  }
  const onCard = lightOf(photograph, card);
  const onYarn = lightOf(photograph, yarn);
  if (Math.min(...onCard.mean) <= 0) {
    throw new RangeError('card: is black in the picture; mark the grey card, or take the picture with more light');
  }
  const raw = onYarn.mean.map((light, channel) => (light / onCard.mean[channel]) * cardReflectance);
  const doubts: PhotographDoubt[] = [];
  if (overlaps(card, yarn)) doubts.push({ kind: 'overlap' });
  if (onYarn.clippedShare > CLIP_SHARE) doubts.push({ kind: 'overexposed', patch: 'yarn', share: onYarn.clippedShare });
  if (onCard.clippedShare > CLIP_SHARE) doubts.push({ kind: 'overexposed', patch: 'card', share: onCard.clippedShare });
  const level = luminance(onCard.mean);
  if (level < DARK_LEVEL) doubts.push({ kind: 'dark', level });
  const ratio = unevenness(photograph, card);
  if (ratio > UNEVEN_RATIO) doubts.push({ kind: 'uneven', ratio });
  const most = Math.max(...raw);
  if (most > 1 + GAMUT_SLACK) doubts.push({ kind: 'gamut', most });
  const within = (value: number) => Math.min(1, value);
  return { reflectance: [within(raw[0]), within(raw[1]), within(raw[2])], doubts };
}
