/** Refractive indices in sodium light (589 nm), along and across the fibre. */
export interface FibreIndices {
  readonly parallel: number;
  readonly across: number;
}

/**
 * W. E. Morton & J. W. S. Hearle, Physical Properties of Textile Fibres, 4th ed. 2008, ch. 24 (after J. M. Preston),
 * about 65 % r.h., from memory. Reflectance at normal incidence spans 3.7–5.3 %: lustre comes from how well fibres lie
 * along one another, not from the index.
 */
export const fibreIndices: Readonly<Record<string, FibreIndices>> = {
  cotton: { parallel: 1.578, across: 1.532 },
  linen: { parallel: 1.594, across: 1.532 },
  viscose: { parallel: 1.539, across: 1.519 },
  wool: { parallel: 1.553, across: 1.542 },
  silk: { parallel: 1.591, across: 1.538 },
  nylon: { parallel: 1.582, across: 1.519 },
  polyester: { parallel: 1.725, across: 1.537 },
  acetate: { parallel: 1.476, across: 1.47 },
  acrylic: { parallel: 1.5, across: 1.504 },
  glass: { parallel: 1.547, across: 1.547 },
  polyethylene: { parallel: 1.51, across: 1.51 },
};

/** Mean over directions of light: a third along, two thirds across. */
export function meanIndex({ parallel, across }: FibreIndices): number {
  return (parallel + 2 * across) / 3;
}

/** Words of a description, tried in order. Blends answer as their first-listed fibre. */
const words: readonly (readonly [RegExp, string])[] = [
  [/polyethylene|ldpe|plastic bag/i, 'polyethylene'],
  [/mohair|alpaca|merino|wool|felt|shetland/i, 'wool'],
  [/acetate/i, 'acetate'],
  [/viscose|rayon|lyocell|modal/i, 'viscose'],
  [/silk/i, 'silk'],
  [/cottolin|cotton|jersey|denim|paper|card/i, 'cotton'],
  [/linen|flax|hemp|ramie|jute|sisal|leaf|raffia/i, 'linen'],
  [/nylon|polyamide/i, 'nylon'],
  [/polyester|\bpet\b/i, 'polyester'],
  [/acrylic/i, 'acrylic'],
  [/glass/i, 'glass'],
];

/**
 * Fibre name whose indices a description takes ("mercerised cotton", "polyester or silk organza": the word that stands
 * first in it), undefined where no word is known.
 */
export function opticalFibre(description: string): string | undefined {
  let best: string | undefined;
  let at = Number.POSITIVE_INFINITY;
  for (const [pattern, name] of words) {
    const found = description.search(pattern);
    if (found >= 0 && found < at) {
      at = found;
      best = name;
    }
  }
  return best;
}
