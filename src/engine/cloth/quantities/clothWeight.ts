import { GRAMS_PER_POUND, MM_PER } from '#engine/units/lengths.ts';
import type { PerCentimetre, Tex } from '#engine/units/units.ts';

/** One system of threads: how many to the cm of cloth, how heavy, and the crimp as a share of the cloth's length. */
export interface ThreadSystem {
  readonly perCm: PerCentimetre;
  readonly tex: Tex;
  readonly crimp: number;
}

/** Weight of one system's threads in a square metre, g: 100 n threads of (1 + c) m and T/1000 g to the metre. */
export function systemGPerM2({ perCm, tex, crimp }: ThreadSystem): number {
  return (perCm * tex * (1 + crimp)) / 10;
}

/** Grams to the square metre in one ounce to the square yard. */
export const G_PER_M2_PER_OZ_PER_YD2 = GRAMS_PER_POUND / 16 / (MM_PER.yd / 1000) ** 2;
