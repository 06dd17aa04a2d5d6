import { colourDifference, type LinearRgb, lightness, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import type { SampleCloth } from './sampleCloth.ts';

/**
 * Below about this difference of L* between warp and weft a pattern made by which of them lies uppermost does not carry
 * across a room. A rule of thumb, common practice: the eye reads shape from light and dark first.
 */
export const LEAST_GAP = 10;

/** Two yarns that cross often, unlike in colour but too alike in lightness. */
export interface AlikePair {
  /** Numbers of the yarns in the cloth. */
  readonly warp: number;
  readonly weft: number;
  /** Difference of L*. */
  readonly gap: number;
  /** Of all crossings, 0..1. */
  readonly share: number;
}

export interface LightnessGap {
  /** CIE L* of the mean of each system's cones, each thread by the width it covers. */
  readonly warp: number;
  readonly weft: number;
  readonly gap: number;
  /** Least and most L* of the yarns of each system. */
  readonly warpRange: readonly [number, number];
  readonly weftRange: readonly [number, number];
  /** Least and most that a warp yarn and a weft yarn differ where they cross. */
  readonly apart: readonly [number, number];
  /** Most that two yarns within one system differ: a pattern may rest on these instead. */
  readonly within: number;
  readonly tooSmall: boolean;
  /** Those that make up much of the cloth, the most frequent first; none where all is alike. */
  readonly pairs: readonly AlikePair[];
}

/** Pairs that cross less often are an accent's. */
const LEAST_PAIR_SHARE = 0.1;
/** CIEDE2000 below which two yarns pass for shades of one colour, which nobody weaves a pattern of (rule of thumb). */
const ONE_COLOUR = 8;

/** From the colours of cones; lustre, shade between threads and the light itself are left out. */
export function lightnessGap(cloth: SampleCloth): LightnessGap {
  const colours = cloth.coloursOf.map((hexes) => meanLinear(hexes.map(linearFromHex)));
  const { endYarn, rowYarn } = cloth.problem;
  const warp = systemLightness(endYarn, colours, cloth.widthMmOf);
  const weft = systemLightness(rowYarn, colours, cloth.widthMmOf);
  const gap = Math.abs(warp.mean - weft.mean);
  const within = Math.max(warp.range[1] - warp.range[0], weft.range[1] - weft.range[0]);
  const tooSmall = gap < LEAST_GAP && within < LEAST_GAP;
  let least = 100;
  let most = 0;
  const pairs: AlikePair[] = [];
  colours.forEach((colour, end) => {
    if (warp.shares[end] === 0) return;
    colours.forEach((other, row) => {
      if (weft.shares[row] === 0) return;
      const apart = Math.abs(lightness(colour) - lightness(other));
      least = Math.min(least, apart);
      most = Math.max(most, apart);
      const share = warp.shares[end] * weft.shares[row];
      if (apart >= LEAST_GAP || share < LEAST_PAIR_SHARE || colourDifference(colour, other) < ONE_COLOUR) return;
      pairs.push({ warp: end, weft: row, gap: apart, share });
    });
  });
  pairs.sort((one, other) => other.share - one.share);
  return {
    warp: warp.mean,
    weft: weft.mean,
    gap,
    warpRange: warp.range,
    weftRange: weft.range,
    apart: [Math.min(least, most), most],
    within,
    tooSmall,
    pairs: tooSmall ? [] : pairs,
  };
}

interface SystemLightness {
  readonly mean: number;
  readonly range: readonly [number, number];
  /** Of the system's width, by yarn. */
  readonly shares: readonly number[];
}

function systemLightness(
  yarnOf: ArrayLike<number>,
  colours: readonly LinearRgb[],
  widthMmOf: readonly number[],
): SystemLightness {
  const weights = new Float64Array(colours.length);
  let all = 0;
  for (let k = 0; k < yarnOf.length; k++) {
    weights[yarnOf[k]] += widthMmOf[yarnOf[k]];
    all += widthMmOf[yarnOf[k]];
  }
  let least = 100;
  let most = 0;
  colours.forEach((colour, yarn) => {
    if (weights[yarn] === 0) return;
    least = Math.min(least, lightness(colour));
    most = Math.max(most, lightness(colour));
  });
  return {
    mean: lightness(meanLinear(colours, [...weights])),
    range: [Math.min(least, most), most],
    shares: [...weights].map((weight) => weight / all),
  };
}
