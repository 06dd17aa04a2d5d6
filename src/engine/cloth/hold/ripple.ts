import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { layOverSurface } from '#engine/cloth/relief/layOverSurface.ts';
import { wholeField } from '#engine/cloth/wholeField.ts';
import { hash32, hashUniform } from '#engine/units/hash.ts';
import type { Reading } from '#engine/units/reading.ts';
import { LEAST_SLACK_MM_PER_M, SLACK_DOUBT, smoothOverStripes } from './stripes.ts';

/** How stripes that are too long lie in waves between those that hold them. */
export interface Ripple {
  /** From crest to crest along the warp, in the stripe that stands highest. */
  readonly wavelengthMm: number;
  /** Of a crest over the cloth's plane; a hollow is as deep. */
  readonly heightMm: Reading;
}

/** A stripe of ends that have length over beside their neighbours. */
export interface SlackStripe {
  readonly firstEnd: number;
  readonly lastEnd: number;
  readonly widthMm: number;
  /** Of its ends' length, what they have over beside the tautest of the cloth. */
  readonly excess: number;
}

/** Steeper waves fold over, and small-slope bending tells nothing of them (50°). */
const STEEPEST = 1.19;
/** A real stripe's waves wander: by so much of a turn, over so many of their lengths (estimate, from pictures in memory). */
const WANDER_RAD = 0.8;
const WANDER_WAVES = 3.7;
/** Cloths of a repeat are laid out whole for it up to so many crossings: they take 64 bytes each. */
const MOST_CROSSINGS = 1_000_000;

/** Stripes of which more than half of the greatest slack is over, as `puckerOf` tells them. */
export function slackStripes(endXMm: ArrayLike<number>, over: Float64Array): SlackStripe[] {
  const ends = over.length;
  const smooth = smoothOverStripes(endXMm, over);
  const least = Math.min(...smooth);
  const most = Math.max(...smooth);
  if (1000 * (most - least) < LEAST_SLACK_MM_PER_M) return [];
  const half = (least + most) / 2;
  const stripes: SlackStripe[] = [];
  const pitchMm = (endXMm[ends - 1] - endXMm[0]) / (ends - 1);
  for (let end = 0; end < ends; end++) {
    if (smooth[end] <= half) continue;
    const firstEnd = end;
    let sum = 0;
    while (end < ends && smooth[end] > half) sum += smooth[end++] - least;
    const lastEnd = end - 1;
    const widthMm = endXMm[lastEnd] - endXMm[firstEnd] + pitchMm;
    stripes.push({ firstEnd, lastEnd, widthMm, excess: sum / (lastEnd + 1 - firstEnd) });
  }
  return stripes;
}

/**
 * Wavelength of a long stripe that is held along both edges and pressed lengthwise: two of the half waves into which it buckles
 * first, W (D_along/D_across)^¼ each (S. P. Timoshenko & J. M. Gere, Theory of Elastic Stability 1961, ch. 9, from memory: squares
 * where it bends alike both ways). Edges that do not turn make them a third shorter.
 */
export function rippleLengthMm(widthMm: number, alongNmm: number, acrossNmm: number): number {
  return 2 * widthMm * (alongNmm / acrossNmm) ** 0.25;
}

/**
 * Crest of waves that take up the excess e: half a sine across the stripe, whose ends have ¼(kA)² sin² over, e in the mean, so
 * A = (λ/π)√(2e); √(2e) is √e where all ends stand as high (E. Cerda & L. Mahadevan 2003, Phys. Rev. Lett. 90, 074302, from memory).
 */
export function rippleHeightMm(wavelengthMm: number, excess: number): number {
  const height = (wavelengthMm / Math.PI) * Math.sqrt(2 * Math.max(0, excess));
  return Math.min(height, (STEEPEST * wavelengthMm) / (2 * Math.PI));
}

/**
 * Lets stripes whose ends have length over stand in waves, alternately to face and back, between the taut ones.
 * @param warpOver length of each end that the cloth does not take up, share
 * @returns undefined where no stripe has enough over
 */
export function layRipple(
  problem: ClothProblem,
  geometry: ClothGeometry,
  warpOver: Float64Array,
): { readonly geometry: ClothGeometry; readonly ripple: Ripple } | undefined {
  const { rows, ends, endXMm, rowYMm, periodRows, periodEnds } = geometry;
  if (ends < 3 || rows < 3) return undefined;
  const stripes = slackStripes(endXMm, warpOver);
  if (stripes.length === 0) return undefined;
  const { yarns, rowYarn, endYarn } = problem;
  const lengthMm = rowYMm[rows - 1] - rowYMm[0];
  let weftBending = 0;
  for (const yarn of rowYarn) weftBending += yarns[yarn].bendingNmm2;
  const acrossNmm = weftBending / lengthMm;
  const waves = stripes.map((stripe) => {
    let bending = 0;
    for (let end = stripe.firstEnd; end <= stripe.lastEnd; end++) bending += yarns[endYarn[end]].bendingNmm2;
    const wavelengthMm = rippleLengthMm(stripe.widthMm, bending / stripe.widthMm, acrossNmm);
    return { ...stripe, wavelengthMm, heightMm: rippleHeightMm(wavelengthMm, stripe.excess) };
  });
  const highest = waves.reduce((most, wave) => (wave.heightMm > most.heightMm ? wave : most));
  const { wavelengthMm, heightMm: value, excess } = highest;
  const ripple: Ripple = {
    wavelengthMm,
    // Edges that do not turn shorten waves by a third, and heights with them.
    heightMm: {
      value,
      low: rippleHeightMm((2 / 3) * wavelengthMm, excess * (1 - SLACK_DOUBT)),
      high: rippleHeightMm(wavelengthMm, excess * (1 + SLACK_DOUBT)),
    },
  };
  const repeats = periodRows < rows || periodEnds < ends;
  if (repeats && rows * ends > MOST_CROSSINGS) return { geometry, ripple };
  const zMm = new Float32Array(rows * ends);
  waves.forEach((wave, index) => {
    const seed = hash32(index + 0x51a2);
    const from = endXMm[wave.firstEnd] - wave.widthMm / (2 * (wave.lastEnd + 1 - wave.firstEnd));
    const k = (2 * Math.PI) / wave.wavelengthMm;
    for (let row = 0; row < rows; row++) {
      const wander = WANDER_RAD * Math.sin((k / WANDER_WAVES) * rowYMm[row] + 2 * Math.PI * hashUniform(seed, 1));
      const crest = wave.heightMm * Math.sin(k * rowYMm[row] + wander + 2 * Math.PI * hashUniform(seed, 2));
      for (let end = wave.firstEnd; end <= wave.lastEnd; end++) {
        zMm[row * ends + end] = crest * Math.sin((Math.PI * (endXMm[end] - from)) / wave.widthMm);
      }
    }
  });
  const surface = { rows, ends, zMm, endXMm, rowYMm, turnXMm: 0, turnYMm: 0 };
  const laid = layOverSurface(wholeField(geometry.warp, geometry), wholeField(geometry.weft, geometry), surface);
  return { geometry: { ...geometry, ...laid, periodRows: rows, periodEnds: ends }, ripple };
}
