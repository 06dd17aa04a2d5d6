import { fibreParts } from '#engine/yarn/fibreParts.ts';

export interface FibreShare {
  readonly fibre: string;
  /** Of the cloth's mass, 0..1. */
  readonly share: number;
}

/**
 * What a cloth is made of by mass, most first, from what each yarn's card says of its fibres and how much of it there
 * is. A yarn whose fibres are not known counts as "other".
 */
export function fibreContent(yarns: readonly { readonly fibre: string; readonly grams: number }[]): FibreShare[] {
  const grams = new Map<string, number>();
  let whole = 0;
  for (const yarn of yarns) {
    const parts = fibreParts(yarn.fibre);
    whole += yarn.grams;
    for (const { fibre, share } of parts.length > 0 ? parts : [{ fibre: 'other', share: 1 }]) {
      grams.set(fibre, (grams.get(fibre) ?? 0) + share * yarn.grams);
    }
  }
  if (!(whole > 0)) return [];
  return Array.from(grams, ([fibre, each]) => ({ fibre, share: each / whole })).sort((a, b) => b.share - a.share);
}
