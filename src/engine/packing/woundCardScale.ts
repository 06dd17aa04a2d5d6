/** Share of a wound card's height left bare above and below the turns, at least. */
export const CARD_MARGIN = 0.07;
/** Cards of most yarns are to one scale, so that a thick yarn looks thick beside a fine one. */
const SCALES = [2, 1, 1 / 2, 1 / 4, 1 / 8, 1 / 16] as const;
const LEAST_TURNS = 3;

/**
 * How much larger than life a card shows a yarn: twice or, where three turns would not fit, as much less as lets them.
 * @param turnMm width of one turn
 * @param lifeSizeMm side of the card as it would be at life size
 */
export function woundCardScale(turnMm: number, lifeSizeMm: number): number {
  const fits = SCALES.find((scale) => (lifeSizeMm / scale) * (1 - 2 * CARD_MARGIN) >= LEAST_TURNS * turnMm);
  return fits ?? SCALES[SCALES.length - 1];
}
