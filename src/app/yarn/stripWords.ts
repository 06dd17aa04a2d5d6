import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { beatResistance, FAIRLY_FIRM } from '#engine/cloth/spacing/beatLaw.ts';
import { beatenStrip, stripLay } from '#engine/yarn/strip.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';

/** How a cut strip lies in its shed at the sample's beat; empty for other yarns. */
export function stripWords(card: YarnCard, firmness: number, system: LengthSystem): string {
  if (card.shape !== 'strip') return '';
  const push = beatResistance(firmness) / beatResistance(FAIRLY_FIRM);
  const { lies, layers, widthMm, heightMm } = stripLay(beatenStrip(yarnFactsOf(card), push));
  const mm = (value: number) => {
    const { text, unit } = quantity(Number(value.toPrecision(2)), 'thin', system);
    return `${text} ${unit}`;
  };
  const size = `≈ ${mm(widthMm)} wide and ${mm(heightMm)} high`;
  if (lies === 'flat') return `Lies flat in its shed, ${size}.`;
  if (lies === 'rolled') return `Crumples to a roll in its shed, ${size}; a softer beat leaves it flatter.`;
  return `Lies folded in its shed, about ${formatNumber(layers)} layers, ${size}; beaten harder it folds narrower.`;
}
