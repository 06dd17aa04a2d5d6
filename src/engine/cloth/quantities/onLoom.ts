import type { Readings } from '#engine/cloth/forecast/readings.ts';
import type { Reading } from '#engine/units/reading.ts';

/** The readings that say what was laid, whatever state the cloth is read in. */
export interface LaidReadings {
  readonly lengthMm: Reading;
  readonly widthMm: number;
  readonly picksPerCm: number;
  readonly warpTakeUp: number;
  readonly weftTakeUp: number;
}

/**
 * Readings brought back to the loom, where yarn is laid: threads keep their lengths, so that 1 − t goes with the size of
 * the cloth along them. Of a finished cloth the yarns' own shrinkage, a few hundredths, is left out.
 */
export function readingsOnLoom(readings: Readings): LaidReadings {
  const { sizes, lengthMm, widthMm, picksPerCm, warpTakeUp, weftTakeUp } = readings;
  if (!sizes) return { lengthMm, widthMm, picksPerCm: picksPerCm.value, warpTakeUp, weftTakeUp };
  const { onLoomLengthMm, fellWidthMm } = sizes;
  const longer = onLoomLengthMm.value / lengthMm.value;
  const wider = fellWidthMm.value / widthMm;
  const takeUp = (share: number, grown: number) => Math.min(0.95, Math.max(0, 1 - (1 - share) * grown));
  return {
    lengthMm: onLoomLengthMm,
    widthMm: fellWidthMm.value,
    picksPerCm: picksPerCm.value / longer,
    warpTakeUp: takeUp(warpTakeUp, longer),
    weftTakeUp: takeUp(weftTakeUp, wider),
  };
}
