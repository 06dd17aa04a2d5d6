import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import type { LaidLeaf } from '#engine/packing/packedCloth.ts';

/** Shares of a side are told to within this. */
const ABOUT = 0.02;

/** How much of the side the leaf covers on this cloth, and how deep it reaches. */
export function foilWords(
  { share, side }: TreatmentOf<'foil'>,
  leaf: LaidLeaf | undefined,
  system: LengthSystem,
): string[] {
  if (!leaf) return [`Another leaf on the ${side} lies over it, or the cloth is being worked out.`];
  if (leaf.share === 0) return ['Nothing faces the press: no leaf holds.'];
  const depth = quantity(leaf.depthMm, 'thin', system);
  const covers = `It covers about ${formatNumber(100 * leaf.share)} % of the ${side} as one sees it square on`;
  const words = [`${covers}, down to ${depth.text} ${depth.unit} below the highest threads.`];
  if (leaf.share < share - ABOUT)
    words.push('More does not face the press: the flanks of the threads and the gaps stay bare.');
  return words;
}
