import { STATE_MODEL } from '#engine/cloth/states/clothStates.ts';
import { MODEL_DOUBT, STATE_UNKNOWNS } from '#engine/cloth/states/sizeDoubts.ts';
import { type Losses, lossesOf, type MeasuredCloth } from './cloths.ts';
import { MEASURED, type MeasuredRow, type Size } from './measured.ts';

export interface ForecastRow extends MeasuredRow {
  readonly forecast: number;
  /** With the constants as they stood before any was chosen. */
  readonly untuned: number;
  readonly low: number;
  readonly high: number;
  /** Whether the range and what was measured, as closely as it was read, meet. */
  readonly holds: boolean;
  /** What each cause by itself would change: those of STATE_UNKNOWNS, then the beat, then what the model leaves out. */
  readonly causes: readonly number[];
}

/** The causes of `ForecastRow`, in words. */
export const CAUSES: readonly string[] = [
  'slack of the weft as laid',
  'tension at the fell',
  'swelling kept',
  'how far the fibre shrinks',
  'thickness of the yarns',
  'tension of the warp',
  'hardness of the sections',
  'the beat, where it is not told',
  'what the model leaves out',
];

/** Before anything was fitted: weft laid without slack, and held at the fell as tight as an end. */
const UNTUNED = { ...STATE_MODEL, weftSlackShare: 0, fellTensionShare: 1 };

/** Whether a range about the forecast, of so much either way, meets what was measured. */
export const meets = ({ forecast, measured, readWithin }: ForecastRow, halfWidth: number): boolean =>
  forecast - halfWidth <= measured[1] + readWithin && forecast + halfWidth >= measured[0] - readWithin;

/**
 * The same counted strictly: reading and forecast each have their doubt, and where these are independent they add as squares.
 * `meets` takes every reading at its most lenient; a range much too wide would hold all rows here too.
 */
export const meetsStrictly = ({ forecast, measured, readWithin }: ForecastRow, halfWidth: number): boolean => {
  const both = Math.hypot(halfWidth, readWithin);
  return forecast - both <= measured[1] && forecast + both >= measured[0];
};

/** A beat that nobody told may be so much looser or firmer, of 0 to 1. */
const BEAT_UNKNOWN = 0.15;

const FLOOR: Record<Size, number> = {
  fell: MODEL_DOUBT.loom,
  offWidth: MODEL_DOUBT.off,
  finishedWidth: MODEL_DOUBT.finished,
  offLength: MODEL_DOUBT.off,
  finishedLength: MODEL_DOUBT.finished,
  warpTakeUp: MODEL_DOUBT.off,
};

/** Of several sizes the mean. */
export function lossOf(losses: Losses, size: MeasuredRow['size']): number {
  return typeof size === 'string' ? losses[size] : (losses[size[0]] + losses[size[1]]) / 2;
}

/** How far a forecast lies outside what was measured, as a share. */
export const outsideOf = (forecast: number, { measured: [least, most] }: MeasuredRow): number =>
  Math.max(0, least - forecast, forecast - most);

function othersOf(cloth: MeasuredCloth): Losses[] {
  const others = STATE_UNKNOWNS.map((change) => lossesOf(cloth, { ...STATE_MODEL, ...change }));
  const firmness = cloth.firmness ?? 0.7;
  return cloth.picksPerCm === undefined
    ? [...others, lossesOf({ ...cloth, firmness: firmness + BEAT_UNKNOWN })]
    : others;
}

/** Every measured size with its forecast and 80 % range. */
export function forecastRows(): ForecastRow[] {
  const known = new Map<MeasuredCloth, { base: Losses; untuned: Losses; others: Losses[] }>();
  return MEASURED.map((row) => {
    const found = known.get(row.cloth) ?? {
      base: lossesOf(row.cloth),
      untuned: lossesOf(row.cloth, UNTUNED),
      others: othersOf(row.cloth),
    };
    known.set(row.cloth, found);
    const forecast = lossOf(found.base, row.size);
    const floor = FLOOR[typeof row.size === 'string' ? row.size : row.size[0]];
    const changes = found.others.map((other) => Math.abs(lossOf(other, row.size) - forecast));
    const beatTold = changes.length === STATE_UNKNOWNS.length;
    const causes = [...changes, ...(beatTold ? [0] : []), floor];
    const halfWidth = Math.hypot(...causes);
    const untuned = lossOf(found.untuned, row.size);
    const range = {
      ...row,
      forecast,
      untuned,
      low: forecast - halfWidth,
      high: forecast + halfWidth,
      causes,
      holds: false,
    };
    return { ...range, holds: meets(range, halfWidth) };
  });
}
