import type { YarnCard } from './schema/yarnSchema.ts';
import { nameOfCount } from './yarnName.ts';

/**
 * The same yarn spun or cut to another count. At equal packing widths go with the root of tex (d = sqrt(4T/(π·φ·ρ)),
 * Peirce 1937); the twist that gives the same twist angle goes with 1/width; bending stiffness of free fibres goes with
 * tex (B = E·T_f·T/(4π·ρ), a number of fibres each bending by itself). A strip of the same sheet keeps its gauge and
 * changes its width, and with it its stiffness, in proportion; where it lies crumpled its contact width goes with the
 * root, as a yarn's does.
 * Measured figures so scaled are noted in the card's provenance. A label no longer true is dropped unless given anew,
 * and a name that tells the old count follows.
 */
export function yarnOfCount(card: YarnCard, tex: number, count?: string): YarnCard {
  const ratio = tex / card.tex;
  if (ratio === 1 && count === undefined) return card;
  const strip = card.shape === 'strip';
  const crumpled = strip && (card.contactWidthMm ?? 0) < (card.stripWidthMm ?? 0) / 2;
  const factors = {
    stripWidthMm: ratio,
    contactWidthMm: strip && !crumpled ? ratio : Math.sqrt(ratio),
    freeWidthMm: strip ? ratio : Math.sqrt(ratio),
  };
  const name = nameOfCount(card, tex, count);
  const scaled: YarnCard = { ...card, name, tex, bendingNmm2: scaleRange(card.bendingNmm2, ratio) };
  const touched = ['tex', 'bendingNmm2'];
  for (const key of ['stripWidthMm', 'contactWidthMm', 'freeWidthMm'] as const) {
    const value = card[key];
    if (value === undefined) continue;
    scaled[key] = round(value * factors[key]);
    touched.push(key);
  }
  if (card.ranges) {
    // The count is now as chosen; widths keep their doubt in proportion.
    const { tex: _tex, ...ranges } = card.ranges;
    for (const key of ['stripWidthMm', 'contactWidthMm', 'freeWidthMm'] as const) {
      const range = ranges[key];
      if (range) ranges[key] = scaleRange(range, factors[key]);
    }
    scaled.ranges = ranges;
  }
  if (card.twistTurnsPerM) {
    scaled.twistTurnsPerM = scaleRange(card.twistTurnsPerM, 1 / Math.sqrt(ratio));
    touched.push('twistTurnsPerM');
  }
  if (count !== undefined) scaled.count = count;
  else if (ratio !== 1) delete scaled.count;
  if (ratio !== 1) {
    scaled.provenance = { ...card.provenance };
    for (const key of touched)
      scaled.provenance[key] = key === 'tex' ? 'chosen in the sample' : 'scaled from another count';
  }
  return scaled;
}

function scaleRange(range: readonly [number, number], factor: number): [number, number] {
  return [round(range[0] * factor), round(range[1] * factor)];
}

/** Six figures: more would claim what nobody measured, and make files long. */
function round(value: number): number {
  return Number(value.toPrecision(6));
}
