import { formatNumber, type LengthSystem, thinText } from '#app/words/numbers.ts';
import { capital, counted } from '#app/words/words.ts';
import { wovenIn } from '#document/comesAgain.ts';
import type { ListedAgain, ListedItem, ListedPass, ListedPick, ListedRound } from '#document/weavingList.ts';

const endWords: Readonly<Record<ListedPass['ends'], string>> = {
  selvedge: '',
  turn: 'turns there',
  interlock: 'interlocks',
  slit: 'leaves a slit',
  cut: 'cut at both ends',
  behind: 'goes on behind',
  tied: 'goes on behind, tied',
};

const tailWords: Readonly<Record<NonNullable<ListedPass['tails']>, string>> = {
  fringe: '',
  tucked: 'tucked into the next shed',
  folded: 'folded behind',
};

/** "Picks 1–24", all that an item weaves. */
export function spanWords(item: ListedItem): string {
  return capital(spanText(item.fromPick, item.fromPick - 1 + wovenIn(item)));
}

export function spanText(from: number, to: number): string {
  return from === to ? `pick ${formatNumber(to)}` : `picks ${formatNumber(from)}–${formatNumber(to)}`;
}

/** "4 picks, 6 times". */
export function roundWords({ count, times }: ListedRound): string {
  return `${counted(count, 'pick', 'picks', formatNumber)}, ${formatNumber(times)} times`;
}

/** "A →", "B ← ends 5–12, cut at both ends, tails 8 mm". */
export function passWords(pass: ListedPass, system: LengthSystem): string {
  const { letters, enters, span, ends } = pass;
  const across = span ? ` ends ${formatNumber(span[0])}–${formatNumber(span[1])}` : '';
  const left = endWords[ends] + (ends === 'cut' ? tailsText(pass, system) : '');
  return `${letters} ${enters === 'left' ? '→' : '←'}${across}${left === '' ? '' : `, ${left}`}`;
}

/** ", tails 8 mm folded behind"; nothing of ends cut close. */
function tailsText({ tails = 'fringe', tailMm }: ListedPass, system: LengthSystem): string {
  const words = [tailMm === undefined ? '' : thinText(tailMm, system), tailWords[tails]].filter(Boolean).join(' ');
  return words === '' ? '' : `, tails ${words}`;
}

export function mindWords(pick: ListedPick): string {
  const { pauseBeforeMin } = pick;
  return [pauseBeforeMin === undefined ? '' : `after a pause of ${formatNumber(pauseBeforeMin)} min`, beatWords(pick)]
    .filter(Boolean)
    .join(', ');
}

/** "beat 60 %"; nothing where the sample's own beat is meant. */
function beatWords({ beatPercent, firmerByPercent = 0 }: Pick<ListedPick, 'beatPercent' | 'firmerByPercent'>): string {
  const by = `by ${formatNumber(Math.abs(firmerByPercent))} % of the firmest`;
  if (firmerByPercent !== 0) return `beat ${firmerByPercent > 0 ? 'firmer' : 'softer'} than the rest ${by}`;
  return beatPercent === undefined ? '' : `beat ${formatNumber(beatPercent)} %`;
}

/** ", with B in place of A": the one thing that is not as there; nothing where all is. */
export function otherwiseWords({ otherwise, count, times }: ListedAgain, treadled: boolean): string {
  switch (otherwise?.what) {
    case 'wefts':
      return `, with ${otherwise.swaps.map(([was, now]) => `${now} in place of ${was}`).join(', ')}`;
    case 'lifts':
      return `, with ${treadled ? 'treadle' : 'shaft'} ${otherwise.swap[1]} in place of ${otherwise.swap[0]}`;
    case 'sides':
      return `, ${count * times > 1 ? 'every weft' : 'the weft'} from the other side`;
    case 'beat':
      return `, ${beatWords(otherwise) || 'beaten as the rest'}`;
    default:
      return '';
  }
}
