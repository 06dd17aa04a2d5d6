import { GRAMS_PER_POUND, MM_PER } from './lengths.ts';
import type { Tex } from './units.ts';

/**
 * Ways of saying how heavy a length of yarn is. Direct systems give mass per length, indirect ones length per mass.
 * Hank lengths: ISO 1144 lists the systems; lengths are the trade's (from memory where no source is given).
 */
export type CountSystem =
  | 'tex'
  | 'dtex'
  | 'denier'
  | 'Nm'
  | 'Ne'
  | 'spunSilk'
  | 'worsted'
  | 'linenLea'
  | 'woollenRun'
  | 'woollenCut'
  | 'yorkshireSkein'
  | 'galashiels'
  | 'mPerKg'
  | 'ydPerLb';

/** Where a plied label writes its plies: 8/2 is 8s in two plies, 2/18 two plies of 18s. */
export type PlyOrder = 'singles first' | 'plies first';

export interface CountSystemFacts {
  readonly kind: 'direct' | 'indirect';
  /** direct: tex per unit. indirect: tex × count. */
  readonly texConstant: number;
  /** How the trade usually orders a plied label; a label may still be read the other way (common practice). */
  readonly plyOrder: PlyOrder;
  /** Written before the number ("Ne 8/2") or after it ("150 den"). */
  readonly prefix: string;
  readonly suffix: string;
}

/** tex × count for a system whose count is the number of hanks of so many yards in a pound. */
function hanksPerPound(yards: number): number {
  return (GRAMS_PER_POUND / (yards * MM_PER.yd)) * 1e6;
}

function direct(texConstant: number, suffix: string): CountSystemFacts {
  return { kind: 'direct', texConstant, plyOrder: 'singles first', prefix: '', suffix };
}

function indirect(texConstant: number, plyOrder: PlyOrder, prefix: string, suffix = ''): CountSystemFacts {
  return { kind: 'indirect', texConstant, plyOrder, prefix, suffix };
}

export const COUNT_SYSTEMS: Readonly<Record<CountSystem, CountSystemFacts>> = {
  tex: direct(1, 'tex'),
  dtex: direct(0.1, 'dtex'),
  denier: direct(1 / 9, 'den'),
  Nm: indirect(1000, 'plies first', 'Nm'),
  Ne: indirect(hanksPerPound(840), 'singles first', 'Ne'),
  spunSilk: indirect(hanksPerPound(840), 'singles first', 'spun silk'),
  worsted: indirect(hanksPerPound(560), 'plies first', 'worsted'),
  linenLea: indirect(hanksPerPound(300), 'singles first', 'lea'),
  woollenRun: indirect(hanksPerPound(1600), 'plies first', '', 'run'),
  woollenCut: indirect(hanksPerPound(300), 'plies first', '', 'cut'),
  yorkshireSkein: indirect(hanksPerPound(256), 'plies first', '', 'skein'),
  galashiels: indirect(hanksPerPound(200), 'plies first', '', 'Galashiels'),
  mPerKg: indirect(1e6, 'singles first', '', 'm/kg'),
  ydPerLb: indirect(hanksPerPound(1), 'singles first', '', 'yd/lb'),
};

/** @throws RangeError where the count is not above 0. */
export function texFromCount(count: number, system: CountSystem): Tex {
  if (!(count > 0 && Number.isFinite(count))) throw new RangeError(`A count is a number above 0; ${count} was given.`);
  const { kind, texConstant } = COUNT_SYSTEMS[system];
  return kind === 'direct' ? count * texConstant : texConstant / count;
}

/** @throws RangeError where tex is not above 0. */
export function countFromTex(tex: Tex, system: CountSystem): number {
  if (!(tex > 0 && Number.isFinite(tex))) throw new RangeError(`A linear density is above 0 tex; ${tex} was given.`);
  const { kind, texConstant } = COUNT_SYSTEMS[system];
  return kind === 'direct' ? tex / texConstant : texConstant / tex;
}
