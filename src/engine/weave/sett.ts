import type { Drawdown } from '#engine/draft/drawdown.ts';
import { texFromCount } from '#engine/units/countSystems.ts';
import { perCm } from '#engine/units/lengths.ts';
import type { Millimetres, PerCentimetre, Tex } from '#engine/units/units.ts';
import { interlacementsPerEnd, interlacementsPerPick } from './interlacement.ts';

/**
 * Ashenhurst's k in  diameters per inch = k sqrt(yd/lb)  (T. R. Ashenhurst 1884, Treatise on Textile Calculations and the
 * Structure of Fabrics; classes as the trade uses the rule now, to about 0.01).
 */
export const ASHENHURST_K = { firm: 0.92, worsted: 0.9, woollen: 0.85 } as const;

/** Share of the maximum sett for a purpose (common practice, ± 0.05). */
export const SETT_SHARE = { normal: 0.8, upholstery: 0.9, delicate: 0.55 } as const;

/** Yarn diameters that lie side by side in a cm, by Ashenhurst's rule. `k` 0.8..1. */
export function ashenhurstDiametersPerCm(tex: Tex, k: number): PerCentimetre {
  return perCm(k * Math.sqrt(texFromCount(1, 'ydPerLb') / tex));
}

/** A thread's repeat R and the number of intersections I it makes in it. */
export interface WeaveRepeat {
  readonly R: number;
  readonly I: number;
}

/** R and I of a weave's ends and picks (mean over the repeat). */
export function weaveRepeat(drawdown: Drawdown): { warp: WeaveRepeat; weft: WeaveRepeat } {
  return {
    warp: { R: drawdown.rows, I: mean(interlacementsPerEnd(drawdown)) },
    weft: { R: drawdown.ends, I: mean(interlacementsPerPick(drawdown)) },
  };
}

/** Ashenhurst's ends plus intersections: the share of the width left to threads where each intersection takes a diameter. */
export function endsPlusIntersectionsRatio({ R, I }: WeaveRepeat): number {
  return R / (R + I);
}

/** Curvature theory: an intersection takes sqrt(3) − 1 of a diameter (from memory). */
export function curvatureRatio({ R, I }: WeaveRepeat): number {
  return R / (R + (Math.sqrt(3) - 1) * I);
}

/** F = R/I; Infinity for a thread that never changes side. */
export function averageFloat({ R, I }: WeaveRepeat): number {
  return R / I;
}

/** Threads per cm at which a square cloth of equal yarns is full, by Ashenhurst's two rules. */
export function maximumSettPerCm(tex: Tex, k: number, weave: WeaveRepeat): PerCentimetre {
  return ashenhurstDiametersPerCm(tex, k) * endsPlusIntersectionsRatio(weave);
}

/** S. Brierley 1931, Text. Manuf. 57, constants from memory: m by weave, K by count system. */
const BRIERLEY_M = { plain: 0, twill: 0.39, satin: 0.42, hopsack: 0.45 } as const;
const BRIERLEY_K = { Ne: 200, worsted: 134, yorkshireSkein: 60 } as const;

/**
 * Brierley's maximum square sett  F^m sqrt(K N)  per inch, here per cm.
 * @param count N in the system of K. @param meanFloat F, 1 for plain weave.
 */
export function brierleySettPerCm(
  count: number,
  system: keyof typeof BRIERLEY_K,
  meanFloat: number,
  weave: keyof typeof BRIERLEY_M,
): PerCentimetre {
  return perCm(meanFloat ** BRIERLEY_M[weave] * Math.sqrt(BRIERLEY_K[system] * count));
}

/** Peirce's cover factor K = n / sqrt(Ne), n per inch (F. T. Peirce 1937, J. Text. Inst. 28, T45). */
export function peirceCoverFactor(threadsPerInch: number, ne: number): number {
  return threadsPerInch / Math.sqrt(ne);
}

/** The same in tex and cm: 0.1 n sqrt(tex), 0.9567 of Peirce's K. */
export function texCoverFactor(threadsPerCm: PerCentimetre, tex: Tex): number {
  return 0.1 * threadsPerCm * Math.sqrt(tex);
}

/** Share of the width that one system's threads cover, round or flat, 0..1; 1 where they touch. */
export function fractionalCover(threadsPerCm: PerCentimetre, widthMm: Millimetres): number {
  return Math.min(1, (threadsPerCm * widthMm) / 10);
}

/** Share of the cloth that warp and weft together cover: C1 + C2 − C1 C2. */
export function clothCover(warpCover: number, weftCover: number): number {
  return warpCover + weftCover - warpCover * weftCover;
}

/**
 * A cloth of the same character but `factor` times the weight: indirect counts fall with its square, setts with itself
 * (trade rule for cloths of equal structure).
 */
export function reweigh(indirectCount: number, threadsPerCm: PerCentimetre, factor: number) {
  return { indirectCount: indirectCount / factor ** 2, threadsPerCm: threadsPerCm / factor };
}

function mean(values: Uint32Array): number {
  let sum = 0;
  for (const value of values) sum += value;
  return values.length === 0 ? 0 : sum / values.length;
}
