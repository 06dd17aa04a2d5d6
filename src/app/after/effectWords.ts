import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { brushedHair, unbrushable } from '#engine/yarn/brushed.ts';
import { yarnUptake } from '#engine/yarn/dyeUptake.ts';
import { yarnHair } from '#engine/yarn/hair.ts';

function listed(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

/** Sentences of yarns under the same heading; none for a heading without yarns. */
function grouped(yarns: readonly YarnCard[], headingOf: (card: YarnCard) => string): string[] {
  const groups = new Map<string, string[]>();
  for (const card of yarns) {
    const heading = headingOf(card);
    groups.set(heading, [...(groups.get(heading) ?? []), card.name]);
  }
  return [...groups].map(([heading, names]) => `${heading}: ${listed(names)}.`);
}

/** Which of the yarns take the dye, and how deep. */
export function dyeWords(treatment: TreatmentOf<'overdye'>, yarns: readonly YarnCard[]): string[] {
  return grouped(yarns, (card) => {
    const { share, why } = yarnUptake(card, treatment.dye);
    if (why === 'coated') return 'Stays, film or metal lets no dye in';
    if (why === 'unknown') return 'Stays as drawn, its fibre is not known here';
    if (share > 0.95) return 'Takes it';
    if (share >= 0.3) return `Takes it paler, about ${Math.round(share * 100)} %`;
    return share > 0 ? 'Hardly stained' : 'Stays as it is';
  });
}

/** What the brush raises, and on which yarns it is lost. */
export function brushWords(treatment: TreatmentOf<'brush'>, yarns: readonly YarnCard[]): string[] {
  return grouped(yarns, (card) => {
    const before = yarnHair(card);
    const why = unbrushable(card);
    if (!why) return before?.form === 'loop' ? 'Loops break into a halo' : 'Raised where it lies uppermost';
    const changed = brushedHair(card, before, treatment.strength, { face: 1, back: 0 }) !== before;
    if (why === 'pile') return 'Pile stands up, and sheds';
    if (changed) return 'Frayed edges stand up';
    return why === 'strip' ? 'A strip gives the brush nothing' : 'Gives the brush nothing, and may snag';
  });
}
