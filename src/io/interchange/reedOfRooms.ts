import type { WarpCard } from '#document/schema/warpSchema.ts';

/** How far a room may lie from a whole number of the smallest and still be read as empty dents. */
const WHOLE_WITHIN = 0.05;
/** Most empty dents in a row that are read from rooms. */
const MOST_EMPTY = 20;
/** Reeds coarser and finer than any. */
const LEAST_DENTS_PER_CM = 0.2;
const MOST_DENTS_PER_CM = 60;
/** Two ends a dent is usual from this many ends per cm on (common practice). */
const PAIRED_FROM_ENDS_PER_CM = 6;

export interface ReedOfRooms {
  readonly reed: WarpCard['reed'];
  readonly widthMm: number;
  /** Whether rooms differed in a way that no dents of one reed give, so that their mean stands for them. */
  readonly evened: boolean;
}

/** The reed that spaces ends by these rooms (mm, NaN where not told): even, or with dents left empty. */
export function reedOfRooms(roomsMm: ArrayLike<number>, usualMm: number): ReedOfRooms {
  const rooms = Array.from(roomsMm, (mm) => (Number.isNaN(mm) ? usualMm : mm));
  const widthMm = rooms.reduce((sum, mm) => sum + mm, 0);
  const least = rooms.reduce((a, b) => Math.min(a, b));
  const dents = rooms.map((mm) => Math.round(mm / least));
  const whole = rooms.every((mm, i) => Math.abs(mm / least - dents[i]) <= WHOLE_WITHIN && dents[i] <= MOST_EMPTY);
  const uneven = dents.some((count) => count > 1);
  const endsPerCm = 10 / least;
  if (uneven && whole && endsPerCm >= LEAST_DENTS_PER_CM && endsPerCm <= MOST_DENTS_PER_CM) {
    const order = dents.map((count) => `${'0 '.repeat(count - 1)}1`).join(' ');
    if (order.length <= 4000) return { reed: { dentsPerCm: endsPerCm, endsPerDent: order }, widthMm, evened: false };
  }
  const mean = (10 * rooms.length) / widthMm;
  const endsPerDent = Math.max(mean >= PAIRED_FROM_ENDS_PER_CM ? 2 : 1, Math.ceil(mean / MOST_DENTS_PER_CM));
  const evened = rooms.some((mm) => Math.abs(mm * mean - 10) > 10 * WHOLE_WITHIN);
  return { reed: { dentsPerCm: Math.max(mean / endsPerDent, LEAST_DENTS_PER_CM), endsPerDent }, widthMm, evened };
}
