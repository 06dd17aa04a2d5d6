import { formatNumber } from '#app/words/numbers.ts';
import type { PhotographDoubt } from '#engine/colour/photograph.ts';

/** What makes the colour of a photograph doubtful, and what to do about it. */
export function doubtWords(doubt: PhotographDoubt): string {
  switch (doubt.kind) {
    case 'overexposed':
      return `${formatNumber(100 * doubt.share)} % of the ${doubt.patch === 'yarn' ? "yarn's" : "card's"} patch is overexposed: take the photograph again with less exposure.`;
    case 'dark':
      return 'The card is too dark to measure by: take the photograph with more light or exposure.';
    case 'uneven':
      return `The light falls off over the card, by ${formatNumber(doubt.ratio, 2)} times from quarter to quarter: turn card and cone alike to the light, or mark a smaller patch.`;
    case 'gamut':
      return 'The yarn came out brighter than white and is held at white: check the reflectance of the card, and that the yarn does not mirror the lamp.';
    case 'overlap':
      return 'The patches lie one over the other: move one of them.';
  }
}
