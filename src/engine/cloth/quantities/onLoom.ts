import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { type Reading, shareAround } from '#engine/units/reading.ts';

/** The readings that say what was laid, whatever state the cloth is read in. */
export interface LaidReadings {
  readonly lengthMm: Reading;
  readonly widthMm: number;
  readonly picksPerCm: number;
  readonly warpTakeUp: Reading;
  readonly weftTakeUp: Reading;
}

/** Until a forecast is settled take-up counts as known to about a third of itself. */
const UNSETTLED_DOUBT = 0.3;

/**
 * Readings brought back to the loom, where yarn is laid, so that what is wound and thrown does not hang on the state that is
 * looked at. Take-up is that of the states, whose threads are measured before anything is let go or shrunk.
 */
export function readingsOnLoom(readings: Readings): LaidReadings {
  const { sizes, laidTakeUp, lengthMm, widthMm, picksPerCm, warpTakeUp, weftTakeUp } = readings;
  if (!sizes || !laidTakeUp) {
    const rough = ({ value }: Reading) => shareAround(value, UNSETTLED_DOUBT * value);
    return {
      lengthMm,
      widthMm: widthMm.value,
      picksPerCm: picksPerCm.value,
      warpTakeUp: rough(warpTakeUp),
      weftTakeUp: rough(weftTakeUp),
    };
  }
  const { onLoomLengthMm, fellWidthMm } = sizes;
  return {
    lengthMm: onLoomLengthMm,
    widthMm: fellWidthMm.value,
    picksPerCm: (picksPerCm.value * lengthMm.value) / onLoomLengthMm.value,
    warpTakeUp: laidTakeUp.warp,
    weftTakeUp: laidTakeUp.weft,
  };
}
