import { formatNumber } from '#app/words/numbers.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';

/** A yarn as the shelf shows it. */
export interface ShelfYarn {
  readonly id: string;
  readonly name: string;
  readonly colours: readonly string[];
  /** Width of one turn on the card, mm. */
  readonly widthMm: number;
  readonly countText: string;
  readonly card: YarnCard;
}

/** @throws RangeError where the card's facts cannot be a yarn. */
export function shelfYarn(card: YarnCard): ShelfYarn {
  const body = yarnBody(yarnFactsOf(card));
  const tex = `${formatNumber(card.tex, card.tex < 10 ? 1 : 0)}\u00a0tex`;
  const { shape, stripWidthMm } = card;
  const wide = shape === 'strip' && stripWidthMm ? `${formatNumber(stripWidthMm, 1)}\u00a0mm wide` : undefined;
  const sold = card.count ?? wide;
  return {
    id: card.id,
    name: card.name,
    colours: [card.coneColour],
    widthMm: body.bodyWidthMm,
    countText: sold ? `${sold}, ${tex}` : tex,
    card,
  };
}
