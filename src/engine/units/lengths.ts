import type { Millimetres } from './units.ts';

export type LengthUnit = 'mm' | 'cm' | 'm' | 'in' | 'yd';

/** Millimetres in one of each unit; inch and yard by the international agreement of 1959 (exact). */
export const MM_PER: Readonly<Record<LengthUnit, number>> = { mm: 1, cm: 10, m: 1000, in: 25.4, yd: 914.4 };

/** Grams in a pound avoirdupois, exact. */
export const GRAMS_PER_POUND = 453.59237;

export function toMm(length: number, unit: LengthUnit): Millimetres {
  return length * MM_PER[unit];
}

export function fromMm(lengthMm: Millimetres, unit: LengthUnit): number {
  return lengthMm / MM_PER[unit];
}

/** Threads per inch from threads per cm. */
export function perInch(threadsPerCm: number): number {
  return threadsPerCm * 2.54;
}

/** Threads per cm from threads per inch. */
export function perCm(threadsPerInch: number): number {
  return threadsPerInch / 2.54;
}
