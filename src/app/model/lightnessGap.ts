import { type LinearRgb, lightness, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import type { SampleCloth } from './sampleCloth.ts';

/**
 * Below about this difference of L* between warp and weft a pattern made by which of them lies uppermost does not carry
 * across a room. A rule of thumb, common practice: the eye reads shape from light and dark first.
 */
export const LEAST_GAP = 10;

export interface LightnessGap {
  /** CIE L* of the mean of each system's cones, each thread by the width it covers. */
  readonly warp: number;
  readonly weft: number;
  readonly gap: number;
  /** Most that two yarns within one system differ: a pattern may rest on these instead. */
  readonly within: number;
  readonly tooSmall: boolean;
}

/** From the colours of cones; lustre, shade between threads and the light itself are left out. */
export function lightnessGap(cloth: SampleCloth): LightnessGap {
  const colours = cloth.coloursOf.map((hexes) => meanLinear(hexes.map(linearFromHex)));
  const { endYarn, rowYarn } = cloth.problem;
  const warp = systemLightness(endYarn, colours, cloth.widthMmOf);
  const weft = systemLightness(rowYarn, colours, cloth.widthMmOf);
  const gap = Math.abs(warp.mean - weft.mean);
  const within = Math.max(warp.spread, weft.spread);
  return { warp: warp.mean, weft: weft.mean, gap, within, tooSmall: gap < LEAST_GAP && within < LEAST_GAP };
}

function systemLightness(
  yarnOf: ArrayLike<number>,
  colours: readonly LinearRgb[],
  widthMmOf: readonly number[],
): { mean: number; spread: number } {
  const weights = new Float64Array(colours.length);
  for (let k = 0; k < yarnOf.length; k++) weights[yarnOf[k]] += widthMmOf[yarnOf[k]];
  let least = 100;
  let most = 0;
  colours.forEach((colour, yarn) => {
    if (weights[yarn] === 0) return;
    least = Math.min(least, lightness(colour));
    most = Math.max(most, lightness(colour));
  });
  return { mean: lightness(meanLinear(colours, [...weights])), spread: most - least };
}
