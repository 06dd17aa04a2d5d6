import { colourDifference, hexFromLinear, type LinearRgb, lightness, linearFromHex } from '#engine/colour/colour.ts';

/** Colours nearer than this (CIEDE2000) do not carry a pattern of small squares (rule of thumb). */
const ALIKE = 10;

/**
 * Colours in which a swatch's picks are drawn: their own, but where all its threads are nearly one colour darker (of dark
 * threads paler), since flat squares have no relief to tell warp from weft by.
 */
export function toldApart(
  endColours: readonly string[],
  pickColours: readonly string[],
): { readonly pickColours: readonly string[]; readonly shaded: boolean } {
  const ends = [...new Set(endColours)].map(linearFromHex);
  const picks = [...new Set(pickColours)].map(linearFromHex);
  const alike = ends.every((end) => picks.every((pick) => colourDifference(end, pick) < ALIKE));
  if (!alike || ends.length === 0) return { pickColours, shaded: false };
  const dark = lightness(ends[0]) < 45;
  const moved = (colour: LinearRgb): LinearRgb =>
    colour.map((light) => (dark ? light + 0.12 * (1 - light) : 0.5 * light)) as unknown as LinearRgb;
  const known = new Map(pickColours.map((hex) => [hex, hexFromLinear(moved(linearFromHex(hex)))]));
  return { pickColours: pickColours.map((hex) => known.get(hex) ?? hex), shaded: true };
}
