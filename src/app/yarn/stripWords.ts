import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type StripLay, stripLay } from '#engine/yarn/strip.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';

/** How a cut strip lies in its sheds in this cloth, from the softest beaten row to the hardest; empty for other yarns. */
export function stripWords(
  card: YarnCard,
  { yarns, rowYarn }: Pick<ClothProblem, 'yarns' | 'rowYarn'>,
  system: LengthSystem,
): string {
  if (card.shape !== 'strip') return '';
  const facts = yarnFactsOf(card);
  const woven = new Set(rowYarn);
  const lays = yarns
    .filter(({ strands }, yarn) => woven.has(yarn) && strands.length === 1 && strands[0] === card.id)
    .map(({ contactWidthMm }) => stripLay(facts, contactWidthMm))
    .sort((one, other) => other.widthMm - one.widthMm);
  const [widest] = lays;
  if (!widest) return '';
  const narrowest = lays[lays.length - 1];
  if (narrowest.widthMm > 0.9 * widest.widthMm) return `${layWords(widest, system)}.`;
  return `${layWords(widest, system)} where it is beaten softest; where hardest, ${inMidSentence(layWords(narrowest, system))}.`;
}

const inMidSentence = (words: string) => `it ${words[0].toLowerCase()}${words.slice(1)}`;

function layWords({ lies, layers, widthMm, heightMm }: StripLay, system: LengthSystem): string {
  const mm = (value: number) => {
    const { text, unit } = quantity(Number(value.toPrecision(2)), 'thin', system);
    return `${text} ${unit}`;
  };
  const size = `≈ ${mm(widthMm)} wide and ${mm(heightMm)} high`;
  if (lies === 'flat') return `Lies flat in its shed, ${size}`;
  if (lies === 'standing') return `Stands on edge in its shed, ${size}`;
  if (lies === 'rolled') return `Crumples to a roll in its shed, ${size}`;
  return `Lies folded in its shed, about ${formatNumber(layers)} layers, ${size}`;
}
