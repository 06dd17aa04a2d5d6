import type { Millimetres } from '#engine/units/units.ts';
import type { Compressibility } from './yarnTypes.ts';

/**
 * Contact width over body width: how much narrower a yarn is where another presses than where nothing does.
 *
 * From ruler counts (wraps side by side, slack) against the computed diameter, and there are few:
 *  low     0.73  two linen threads (80/2 at 30, 35/2 at 20 windings per cm: 0.725, 0.731); range 0.69–1, since no
 *                count was found for mercerised cotton, silk or filament, which lie smoother
 *  medium  0.69  one linen single from a conversion chart (0.689); range 0.59–0.73. Agrees with the weavers' rule that
 *                ruler wraps are about 0.7 of Ashenhurst's diameters (P. Osterkamp), which is 0.68 of the computed ones
 *  high    0.59  two woollen yarns (0.581, 0.592); range 0.42–0.73
 *  none    1     solid wire, monofilament and film
 */
export const CONTACT_OVER_BODY: Readonly<Record<Compressibility, number>> = {
  none: 1,
  low: 0.73,
  medium: 0.69,
  high: 0.59,
};

/**
 * The same for lofty yarns, those of high compressibility whose free width is known to be larger than the woollen ratio
 * gives: 0.43, the mean of seven entries of knitting-yarn class tables (0.386–0.483; tables, not rulers).
 */
const CONTACT_OVER_BODY_LOFTY = 0.43;

/**
 * Width of a visible float from the contact width: divided by {@link CONTACT_OVER_BODY}, and never beyond the free
 * width where that is known. A yarn of high compressibility opens as far as its known free width or the lofty ratio
 * allow, whichever comes first.
 */
export function bodyWidthMm(
  contactWidthMm: Millimetres,
  compressibility: Compressibility,
  freeWidthMm?: Millimetres,
): Millimetres {
  if (freeWidthMm === undefined) return contactWidthMm / CONTACT_OVER_BODY[compressibility];
  const ratio = compressibility === 'high' ? CONTACT_OVER_BODY_LOFTY : CONTACT_OVER_BODY[compressibility];
  return Math.max(contactWidthMm, Math.min(contactWidthMm / ratio, freeWidthMm));
}
