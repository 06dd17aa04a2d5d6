import { formatNumber, type LengthSystem, mmPerInch, quantity, quantityRange } from '#app/words/numbers.ts';
import { metresPerLength } from '#app/yarn/ownYarnForm.ts';
import type { Reading } from '#engine/units/reading.ts';

/** "142 m" or "155 yd". */
export function longLength(metres: number, system: LengthSystem): string {
  const value = metres / metresPerLength[system];
  return `${formatNumber(value, value < 10 ? 1 : 0)} ${system === 'inch' ? 'yd' : 'm'}`;
}

/** "24.5 cm" or "9.65 in". */
export function lengthText(mm: number, system: LengthSystem): string {
  const { text, unit } = quantity(mm, 'length', system);
  return `${text} ${unit}`;
}

/** "24.5 cm (23.9–25.1)", the range where it can be read. */
export function lengthRange({ value, low, high }: Reading, system: LengthSystem): string {
  const { text } = quantity(value, 'length', system);
  const range = quantityRange(low, high, 'length', system).text;
  return range === text ? lengthText(value, system) : `${lengthText(value, system)} (${range})`;
}

/** Of a beat that picks wanted need: "a beat of 62 % of the firmest", and where no arm gives it. */
export function beatNeededWords(firmness: number): string {
  if (firmness < 0) return 'a beat looser than the loosest: the picks would not stay so far apart by themselves';
  const beat = `a beat of ${formatNumber(100 * firmness)} % of the firmest`;
  return firmness > 1 ? `${beat}: more than an arm on a hand loom gives` : beat;
}

/** "2 h 40", "35 min". */
export function timeText(minutes: number): string {
  const whole = Math.round(minutes);
  if (whole < 60) return `${whole} min`;
  return `${Math.floor(whole / 60)} h ${String(whole % 60).padStart(2, '0')}`;
}

/** Lengths as they are typed: cm or inches. */
export const mmPerTyped: Record<LengthSystem, number> = { cm: 10, inch: mmPerInch };
export const typedUnit: Record<LengthSystem, string> = { cm: 'cm', inch: 'in' };
