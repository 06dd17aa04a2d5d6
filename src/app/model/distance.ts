import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { blendDistanceMm, contrastLeft } from '#render/eyeSpread.ts';
import { maxMmPerPx } from './pose.ts';
import { cssPxPerMm } from './preferences.ts';
import type { TableStore } from './tableState.ts';

/** How near and how far a cloth can be held, mm. */
export const nearestMm = 300;
const farthestMm = 5000;

/** The slider's stops: 0 is as near as drawn, the others go from near to far in equal ratios. */
export const distanceStops = 24;

export function distanceAtStop(stop: number): number | null {
  if (stop <= 0) return null;
  const mm = nearestMm * (farthestMm / nearestMm) ** ((stop - 1) / (distanceStops - 1));
  // Two places read well and are as fine as anyone stands.
  return Number(mm.toPrecision(2));
}

export function stopAtDistance(distanceMm: number | null): number {
  if (distanceMm === null) return 0;
  const share = Math.log(distanceMm / nearestMm) / Math.log(farthestMm / nearestMm);
  return 1 + Math.round(Math.min(Math.max(share, 0), 1) * (distanceStops - 1));
}

const mmPerFoot = 304.8;

/** A viewing distance as it is said: 30 cm, 1.2 m; 12 in, 6.6 ft. */
export function distanceText(distanceMm: number, system: LengthSystem): string {
  if (system === 'inch') {
    return distanceMm < 2 * mmPerFoot
      ? `${formatNumber(distanceMm / 25.4)} in`
      : `${formatNumber(distanceMm / mmPerFoot, distanceMm < 10 * mmPerFoot ? 1 : 0)} ft`;
  }
  return distanceMm < 1000 ? `${formatNumber(distanceMm / 10)} cm` : `${formatNumber(distanceMm / 1000, 1)} m`;
}

/** How far a reader sits from her screen, mm: common practice for a desk. */
export const readerToScreenMm = 600;

/**
 * Scale at which the cloth is as large on the screen as it would look: life size, or at its true angle where it is held
 * at a distance, mm to a CSS px.
 */
export function trueMmPerPx(heldAtMm: number | null, pxPerMm: number): number {
  return (heldAtMm === null ? 1 : heldAtMm / readerToScreenMm) / pxPerMm;
}

/** Shows the cloth as large as it is, or would look from where it is held. */
export function showTrueSize(ui: TableStore): void {
  const { heldAtMm, preferences, moveBy, say } = ui.getState();
  const mmPerPx = Math.min(trueMmPerPx(heldAtMm, preferences.pxPerMm), maxMmPerPx);
  moveBy((pose) => ({ ...pose, mmPerPx }));
  const measured =
    preferences.pxPerMm === cssPxPerMm ? ' The screen is taken to be 96 px to the inch; measure it under Keys.' : '';
  const held =
    heldAtMm === null
      ? 'Life size.'
      : `As large as it looks from ${distanceText(heldAtMm, preferences.lengthSystem)} to an eye ${distanceText(readerToScreenMm, preferences.lengthSystem)} from the screen.`;
  say(held + measured, { goesWith: ['distance', 'scale'] });
}

/** Where one of two systems of threads blends, and what is left of its contrast where the cloth is held. */
export interface Blending {
  readonly name: string;
  readonly pitchMm: number;
  readonly blendsAtMm: number;
  /** 0..1; undefined while the cloth is as near as drawn. */
  readonly contrastLeft: number | undefined;
}

export function blendings(readings: Readings, heldAtMm: number | null): readonly Blending[] {
  const of = (name: string, perCm: number): Blending => ({
    name,
    pitchMm: 10 / perCm,
    blendsAtMm: blendDistanceMm(10 / perCm),
    contrastLeft: heldAtMm === null ? undefined : contrastLeft(10 / perCm, heldAtMm),
  });
  return [of('Ends', readings.endsPerCm.value), of('Picks', readings.picksPerCm.value)];
}

/** What blends away, in a sentence. */
export function distanceWords(heldAtMm: number | null, readings: Readings | undefined, system: LengthSystem): string {
  if (heldAtMm === null) return 'Seen close up, as it is drawn.';
  const held = `Seen from ${distanceText(heldAtMm, system)}, as by a good eye.`;
  if (!readings) return held;
  const parts = blendings(readings, heldAtMm).map(({ name, pitchMm, blendsAtMm }) => {
    const { text, unit } = quantity(pitchMm, 'thin', system);
    return `${name.toLowerCase()} ${text} ${unit} apart blend beyond ${distanceText(blendsAtMm, system)}`;
  });
  const sentence = parts.join(', ');
  return `${held} ${sentence[0].toUpperCase()}${sentence.slice(1)}.`;
}

const standings = [null, 1000, 2000, 3000, 5000];

/** One step back: to the next of 1, 2, 3 and 5 m; from the last as near as drawn again. */
export function standBack(ui: TableStore): void {
  const now = ui.getState().heldAtMm ?? 0;
  ui.getState().holdAt(standings.find((mm) => mm !== null && mm > now) ?? null);
}
