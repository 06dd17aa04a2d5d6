import type { Relief } from '#engine/cloth/relief/layRelief.ts';
import { eyeSpreadMm } from '#render/eyeSpread.ts';

/** Light-and-dark that is told from the grain of the threads: (light − dark)/(light + dark), an estimate. */
const LEAST_CONTRAST = 0.05;
/** Light that falls at 45° turns a slope into as much contrast. */
const MOST_CONTRAST = 0.9;

/**
 * Span (mm) of the smallest pocket that still reads from a distance, of a layer that is longer by `excess` (share): it must
 * stand higher than one layer is thick, else it is lost among the threads, h = (2L/π)√e; and its light and dark,
 * a slope of 2√e at light from 45°, must be left after the eye's spread (`eyeSpread.ts`), exp(−2π²σ²/L²).
 * @param heldAtMm null: as near as drawn
 */
export function smallestPocketMm(
  { layerMm }: Pick<Relief, 'layerMm'>,
  excess: number,
  heldAtMm: number | null,
): number {
  const root = Math.sqrt(excess);
  const standsMm = (Math.PI * layerMm) / (2 * root);
  if (heldAtMm === null) return standsMm;
  const contrast = Math.min(MOST_CONTRAST, 2 * root);
  const seenMm =
    contrast > LEAST_CONTRAST
      ? (Math.PI * Math.SQRT2 * eyeSpreadMm(heldAtMm)) / Math.sqrt(Math.log(contrast / LEAST_CONTRAST))
      : Number.POSITIVE_INFINITY;
  return Math.max(standsMm, seenMm);
}
