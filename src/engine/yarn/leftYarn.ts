import type { Tex } from '#engine/units/units.ts';
import { figures, type Ranged } from './ownYarnTypes.ts';
import type { YarnRecord } from './yarnRecord.ts';

/** Where a card gives no range of its count: yarn is sold to within about a twentieth (common practice). */
const COUNT_DOUBT = 0.05;

/**
 * Metres on the shelf: as measured, else from grams, L = 1000 m/T, with what the count leaves open; undefined where
 * neither is known.
 */
export function metresLeft({ left, tex, ranges }: Pick<YarnRecord, 'left' | 'tex' | 'ranges'>): Ranged | undefined {
  if (left?.metres !== undefined) return { value: left.metres, low: left.metres, high: left.metres };
  if (left?.grams === undefined) return undefined;
  const [least, most] = ranges?.tex ?? [tex * (1 - COUNT_DOUBT), tex * (1 + COUNT_DOUBT)];
  const metres = (each: Tex) => (1000 * left.grams!) / each;
  return { value: figures(metres(tex)), low: figures(metres(most)), high: figures(metres(least)) };
}
