import { hexFromLch, type Lch } from './colourNumbers.ts';

/** A colour of a chart: CIE LCh(ab) against D65, and its sRGB code. */
export interface Chip {
  readonly lch: Lch;
  readonly hex: string;
}

export const CHIP_LIGHTNESS_STEP = 10;
export const CHIP_CHROMA_STEP = 15;
const MOST_CHROMA = 135;

/**
 * The chips of one hue, in rows from light to dark and in each from grey to vivid; even steps of L* and C*. Colours
 * that sRGB does not hold are left out.
 * @param hueDeg hab, degrees
 */
export function chipsOfHue(hueDeg: number): readonly Chip[] {
  const chips: Chip[] = [];
  for (let l = 100 - CHIP_LIGHTNESS_STEP; l >= CHIP_LIGHTNESS_STEP; l -= CHIP_LIGHTNESS_STEP) {
    for (let c = 0; c <= MOST_CHROMA; c += CHIP_CHROMA_STEP) {
      const lch: Lch = [l, c, c === 0 ? 0 : hueDeg];
      const hex = hexFromLch(lch);
      if (hex !== undefined) chips.push({ lch, hex });
    }
  }
  return chips;
}
