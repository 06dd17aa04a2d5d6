import { formatNumber, type LengthSystem } from '#app/words/numbers.ts';
import { type ColourRepeat, poolingDrift } from '#engine/yarn/colourRepeat.ts';
import { metresPerLength } from './ownYarnForm.ts';

/** Nearer than this to a whole number of repeats in two picks, colours stand over one another for a hand's breadth (estimate). */
const POOLS_WITHIN = 0.06;
/** A colour that lasts so many picks is seen as a band. */
const BAND_PICKS = 4;

/** What a yarn that changes colour does in cloth whose picks take so much of it, in a sentence or two. */
export function poolingWords(repeat: ColourRepeat, pickMm: number | undefined, system: LengthSystem): string {
  const length = repeat.lengthMm / 1000 / metresPerLength[system];
  const again = `Its ${formatNumber(repeat.stops.length)} colours come again every ${formatNumber(length, 2)} ${system === 'inch' ? 'yd' : 'm'}`;
  if (pickMm === undefined || !(pickMm > 0)) return `${again}.`;
  const picks = repeat.lengthMm / pickMm;
  const told = `${again}, ${formatNumber(picks, 1)} ${picks === 1 ? 'pick' : 'picks'} of this width.`;
  if (picks / repeat.stops.length >= BAND_PICKS) return `${told} Each colour lasts some picks: it weaves in bands.`;
  const drift = Math.abs(poolingDrift(repeat, pickMm));
  if (drift <= POOLS_WITHIN)
    return `${told} Colours come to lie over one another: they pool. A little wider or narrower scatters them.`;
  return `${told} Colours wander from side to side.`;
}
