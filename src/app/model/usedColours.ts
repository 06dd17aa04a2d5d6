import type { YarnCard } from '#document/schema/yarnSchema.ts';

/** A colour in use, with the yarns that have it. */
export interface UsedColour {
  /** #rrggbb. */
  readonly hex: string;
  readonly names: string;
}

export interface UsedColours {
  /** Of the sample's own yarns, in the order of the shelf. */
  readonly sample: readonly UsedColour[];
  /** Of the stock, without those of the sample. */
  readonly stock: readonly UsedColour[];
}

/** Colours of the sample's yarns and of the stock's, each once with the names of the yarns there that have it. */
export function usedColours(sample: readonly YarnCard[], stock: readonly YarnCard[]): UsedColours {
  const mine = namedColours(sample);
  const here = new Set(mine.map(({ hex }) => hex));
  return { sample: mine, stock: namedColours(stock).filter(({ hex }) => !here.has(hex)) };
}

function namedColours(yarns: readonly YarnCard[]): readonly UsedColour[] {
  const names = new Map<string, string[]>();
  for (const { coneColour, name } of yarns) {
    const hex = coneColour.toLowerCase();
    const those = names.get(hex) ?? [];
    if (!those.includes(name)) those.push(name);
    names.set(hex, those);
  }
  return [...names].map(([hex, those]) => {
    const more = those.length > 2 ? ` and ${those.length - 2} more` : '';
    return { hex, names: `${those.slice(0, 2).join(', ')}${more}` };
  });
}
