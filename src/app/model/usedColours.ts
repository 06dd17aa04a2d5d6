import type { YarnCard } from '#document/schema/yarnSchema.ts';

/** A colour in use, with the yarns that have it. */
export interface UsedColour {
  /** #rrggbb. */
  readonly hex: string;
  readonly names: string;
}

/** Colours of the sample's yarns, then of the stock's, each once with the names of the yarns that have it. */
export function usedColours(sample: readonly YarnCard[], stock: readonly YarnCard[]): readonly UsedColour[] {
  const names = new Map<string, string[]>();
  for (const { coneColour, name } of [...sample, ...stock]) {
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
