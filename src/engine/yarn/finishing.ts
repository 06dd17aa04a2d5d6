import { fibreNameOf } from './fibres.ts';
import type { YarnFacts } from './yarnTypes.ts';

/** What a yarn does off the loom and in water. Shares are of length or width. */
export interface YarnFinishing {
  /** Force over tex that would stretch it by its own length, were it linear, N/tex: loom tension is some cN/tex. */
  readonly loomModulusNPerTex: number;
  /** How much the yarn itself shortens in a gentle wash, [least, most]; never the cloth's shrinkage. */
  readonly shrinkShare: readonly [number, number];
  /** How much thicker it is wet. */
  readonly swellingShare: number;
  /** Scales lock: it shortens several times more where it is rubbed hot and wet. */
  readonly felts: boolean;
  /** How much longer than at rest it lies as it is laid in. */
  readonly laidStretchShare: number;
  /** What sets its bends: steam and boiling water, water and the iron, or heat; left out where nothing that finishers do. */
  readonly setsAs?: SetsAs;
}

/** Animal fibres are set by steam, plant fibres by water and the iron, fibres that soften by heat (common practice). */
export type SetsAs = 'animal' | 'plant' | 'softening';

const SETS_AS: Readonly<Record<string, SetsAs>> = {
  wool: 'animal',
  mohair: 'animal',
  silk: 'animal',
  cotton: 'plant',
  linen: 'plant',
  jute: 'plant',
  viscose: 'plant',
  lyocell: 'plant',
  paper: 'plant',
  acetate: 'softening',
  nylon: 'softening',
  polyester: 'softening',
  acrylic: 'softening',
};

/**
 * Modulus: cotton and wool from stretch read on looms (a cotton runner 1.0 %, a wool scarf 2.2 %, both at about
 * 0.5 cN/tex, common practice); the rest from memory, in the order of the fibres' own. Diameter swelling in water:
 * W. E. Morton & J. W. S. Hearle, Physical Properties of Textile Fibres, table of swelling (cotton 14 % as read; others
 * from memory), trusted to a third of itself.
 */
const fibres: Readonly<Record<string, { readonly modulus: number; readonly swelling: number }>> = {
  cotton: { modulus: 0.5, swelling: 0.14 },
  linen: { modulus: 2, swelling: 0.14 },
  jute: { modulus: 2, swelling: 0.18 },
  wool: { modulus: 0.23, swelling: 0.15 },
  mohair: { modulus: 0.25, swelling: 0.14 },
  silk: { modulus: 1, swelling: 0.17 },
  viscose: { modulus: 0.5, swelling: 0.26 },
  lyocell: { modulus: 0.8, swelling: 0.25 },
  acetate: { modulus: 0.4, swelling: 0.1 },
  nylon: { modulus: 0.3, swelling: 0.02 },
  polyester: { modulus: 1, swelling: 0 },
  acrylic: { modulus: 0.35, swelling: 0.01 },
  elastane: { modulus: 0.01, swelling: 0 },
  paper: { modulus: 1.5, swelling: 0.1 },
  polyethylene: { modulus: 0.5, swelling: 0 },
  polypropylene: { modulus: 1, swelling: 0 },
  pvc: { modulus: 1, swelling: 0 },
  copper: { modulus: 13, swelling: 0 },
  steel: { modulus: 28, swelling: 0 },
  glass: { modulus: 28, swelling: 0 },
  aramid: { modulus: 40, swelling: 0 },
};

const unknown = { modulus: 0.5, swelling: 0.1 };

/** Where nothing is known of a yarn's own shrinkage: that of staple yarns, relaxed (common practice). */
const USUAL_SHRINK: readonly [number, number] = [0.01, 0.03];

/** Draft at which elastic yarns and strips are laid: 1.5 of their length at rest (common practice: steady, far from their
 * limit); the cloth draws in by what they take back. */
const ELASTIC_DRAFT = 0.5;

const isElastic = (fibre: string): boolean => /elast|stretch/i.test(fibre) && !/jersey/i.test(fibre);

/** How much longer than at rest a yarn is laid in where nothing is said of it, as a share. */
export const usualLaidStretch = (fibre: string): number => (isElastic(fibre) ? ELASTIC_DRAFT : 0);

/** See {@link YarnFinishing}; films, wires and cards neither swell nor shorten but as their card says. */
export function yarnFinishing(facts: YarnFacts): YarnFinishing {
  const name = fibreNameOf(facts.fibre);
  const { modulus, swelling } = (name && fibres[name]) || unknown;
  const elastic = isElastic(facts.fibre);
  const range = facts.lengthShrinkPercent;
  const solid = facts.compressibility === 'none';
  const setsAs = name && !solid && !elastic ? SETS_AS[name] : undefined;
  return {
    loomModulusNPerTex: elastic ? fibres.elastane.modulus : modulus,
    shrinkShare: range ? [range[0] / 100, range[1] / 100] : USUAL_SHRINK,
    swellingShare: solid ? 0 : swelling,
    felts: (name === 'wool' || name === 'mohair') && facts.compressibility !== 'none',
    laidStretchShare:
      facts.laidStretchPercent === undefined ? usualLaidStretch(facts.fibre) : facts.laidStretchPercent / 100,
    ...(setsAs ? { setsAs } : {}),
  };
}

/** Strands lying together: the mean by mass; the bundle felts where most of it does, and sets where all of it sets alike. */
export function bundleFinishing(
  strands: readonly { readonly tex: number; readonly finishing?: YarnFinishing }[],
): YarnFinishing | undefined {
  const known = strands.flatMap(({ tex, finishing }) => (finishing ? [{ tex, finishing }] : []));
  const total = known.reduce((sum, { tex }) => sum + tex, 0);
  if (known.length < strands.length || total <= 0) return undefined;
  const { setsAs } = known[0].finishing;
  const mean = (of: (finishing: YarnFinishing) => number) =>
    known.reduce((sum, { tex, finishing }) => sum + tex * of(finishing), 0) / total;
  return {
    loomModulusNPerTex: mean((f) => f.loomModulusNPerTex),
    shrinkShare: [mean((f) => f.shrinkShare[0]), mean((f) => f.shrinkShare[1])],
    swellingShare: mean((f) => f.swellingShare),
    felts: mean((f) => (f.felts ? 1 : 0)) > 0.5,
    laidStretchShare: mean((f) => f.laidStretchShare),
    ...(setsAs && known.every(({ finishing }) => finishing.setsAs === setsAs) ? { setsAs } : {}),
  };
}
