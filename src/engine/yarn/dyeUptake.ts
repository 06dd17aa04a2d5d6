import { type FibrePart, fibreParts } from './fibreParts.ts';
import type { YarnRecord } from './yarnRecord.ts';

/** Classes of dye by how they hold to a fibre, as dye makers sell them. Cold-water fibre-reactive dyes are the hand dyer's. */
export type DyeClass = 'fibreReactive' | 'direct' | 'vat' | 'acid' | 'basic' | 'disperse';

/** How far a fibre takes a dye: wholly, visibly paler, a stain that partly washes out, or none. */
export type Uptake = 'full' | 'pale' | 'stain' | 'none';

/** Share of the full depth; `pale` and `stain` are estimates within a factor of two. */
const shareOf: Readonly<Record<Uptake, number>> = { full: 1, pale: 0.5, stain: 0.08, none: 0 };

const none: Readonly<Record<DyeClass, Uptake>> = {
  fibreReactive: 'none',
  direct: 'none',
  vat: 'none',
  acid: 'none',
  basic: 'none',
  disperse: 'none',
};
const cellulose: Readonly<Record<DyeClass, Uptake>> = { ...none, fibreReactive: 'full', direct: 'full', vat: 'full' };
const protein: Readonly<Record<DyeClass, Uptake>> = {
  fibreReactive: 'pale',
  direct: 'pale',
  vat: 'pale',
  acid: 'full',
  basic: 'pale',
  disperse: 'stain',
};

/**
 * Which fibre takes which class, in a bath made for that class: which dyes hold to the multifibre strips of ISO 105-F10, as in
 * A. D. Broadbent 2001, Basic Principles of Textile Coloration (Society of Dyers and Colourists), ch. 11–20; both from
 * memory, and common practice with hand dyers. Vat dyes on protein: indigo takes wool and silk (common practice), stronger
 * alkali would harm them. Jute's lignin takes acid and basic dyes.
 */
const uptakes: Readonly<Record<string, Readonly<Record<DyeClass, Uptake>>>> = {
  cotton: cellulose,
  linen: cellulose,
  jute: { ...cellulose, acid: 'pale', basic: 'full' },
  viscose: cellulose,
  lyocell: cellulose,
  paper: cellulose,
  wool: protein,
  mohair: protein,
  silk: protein,
  nylon: { fibreReactive: 'stain', direct: 'stain', vat: 'stain', acid: 'full', basic: 'stain', disperse: 'pale' },
  polyester: { ...none, disperse: 'full' },
  acetate: { ...none, acid: 'stain', basic: 'stain', disperse: 'full' },
  acrylic: { ...none, basic: 'full', disperse: 'stain' },
  elastane: { ...none, acid: 'stain', disperse: 'stain' },
};

/** What a fibre of our names does in a dyebath; what has no fibre in it (metal, glass) or no way in (plastics) takes none. */
function fibreUptake(fibre: string, dye: DyeClass): Uptake {
  return (uptakes[fibre] ?? none)[dye];
}

/** Whether what one sees of a yarn is film, foil, metal or bare plastic, which no dye enters; clear lines of nylon it does. */
function isCoated(record: Pick<YarnRecord, 'lustre' | 'fibre'>): boolean {
  return (
    record.lustre === 'film' ||
    record.lustre === 'metal' ||
    record.lustre === 'hologram' ||
    /\bfilm\b/.test(record.fibre.toLowerCase())
  );
}

export interface YarnUptake {
  /** Of the full depth, mean over the yarn's fibres by their shares: 0..1. */
  readonly share: number;
  /** Each fibre with what it does; empty where film or metal covers it or no fibre is known by name. */
  readonly parts: readonly (FibrePart & { readonly uptake: Uptake })[];
  readonly why: 'fibres' | 'coated' | 'unknown';
}

/**
 * How far a yarn takes a dye. Blends by share: fibres too fine to tell apart add their absorption (see `overdye.ts`). A yarn whose
 * fibre is not known by name takes none, and says so.
 */
export function yarnUptake(record: Pick<YarnRecord, 'lustre' | 'fibre' | 'name'>, dye: DyeClass): YarnUptake {
  if (isCoated(record)) return { share: 0, parts: [], why: 'coated' };
  const named = fibreParts(record.fibre);
  const known = named.length > 0 ? named : fibreParts(record.name);
  if (known.length === 0) return { share: 0, parts: [], why: 'unknown' };
  const parts = known.map((part) => ({ ...part, uptake: fibreUptake(part.fibre, dye) }));
  const share = parts.reduce((sum, part) => sum + part.share * shareOf[part.uptake], 0);
  return { share, parts, why: 'fibres' };
}
