import { formatNumber } from '#app/words/numbers.ts';

/** Figures that can be told apart: three, and no more decimals than they need. */
function short(value: number): string {
  const decimals = value === 0 ? 0 : Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value))));
  return formatNumber(value, Math.min(6, decimals));
}

/** A measured figure with what it may be: "≈ 250 (236–266)"; the figure alone where both ends read alike. */
export function rangedWords(value: number, range: readonly [number, number] | undefined, scale = 1): string {
  const figure = short(value * scale);
  if (!range) return figure;
  const [low, high] = [short(range[0] * scale), short(range[1] * scale)];
  return low === high ? figure : `≈ ${figure} (${low}–${high})`;
}

/** A figure known as a range alone: "0.02–0.11". */
export function rangeWords([low, high]: readonly [number, number], scale = 1): string {
  const [from, to] = [short(low * scale), short(high * scale)];
  return from === to ? from : `${from}–${to}`;
}
