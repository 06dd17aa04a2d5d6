import { fibreNameOf } from './fibres.ts';
import type { YarnFacts } from './yarnTypes.ts';

/** What keeps a yarn where it lies, or lets it go. */
export interface YarnGrip {
  /** Friction of yarn on yarn, [least, most]. */
  readonly friction: readonly [number, number];
  /** Pile on a thin core: it loops out of floats. */
  readonly pile: boolean;
  /** Fibre without twist: nothing but the cloth holds it together. */
  readonly unspun: boolean;
}

/**
 * Friction of yarn on yarn by fibre: cotton and wool 0.25 to 0.45, silk, viscose and linen 0.18 to 0.35 (published yarn
 * facts, as in `cloth/sideways`); the others from memory, within those. Wool's scales make it the higher.
 */
const frictionOfFibre: Readonly<Record<string, readonly [number, number]>> = {
  cotton: [0.25, 0.45],
  wool: [0.25, 0.45],
  jute: [0.25, 0.45],
  mohair: [0.2, 0.4],
  linen: [0.18, 0.35],
  silk: [0.18, 0.35],
  viscose: [0.18, 0.35],
  lyocell: [0.18, 0.35],
  acetate: [0.18, 0.35],
  nylon: [0.15, 0.3],
  polyester: [0.15, 0.3],
};
const USUAL: readonly [number, number] = [0.2, 0.35];
/** Film, wire and single filaments have no hairs that catch: the lower end of what drawn polymers and metals show. */
const SMOOTH: readonly [number, number] = [0.12, 0.22];

export function yarnGrip(facts: YarnFacts): YarnGrip {
  const name = fibreNameOf(facts.fibre);
  const solid = facts.compressibility === 'none';
  const spun = facts.twistTurnsPerM !== undefined || facts.plies > 1 || facts.shape === 'strip';
  return {
    friction: solid ? SMOOTH : ((name ? frictionOfFibre[name] : undefined) ?? USUAL),
    pile: facts.pile === true,
    unspun: !spun && facts.compressibility === 'high',
  };
}

/** Strands lying together: the smoothest slides first; pile or loose fibre in one of them is in the bundle. */
export function bundleGrip(strands: readonly { readonly grip?: YarnGrip }[]): { readonly grip?: YarnGrip } {
  const known = strands.flatMap(({ grip }) => (grip ? [grip] : []));
  if (known.length === 0) return {};
  const slippery = known.reduce((least, grip) => (grip.friction[0] < least.friction[0] ? grip : least));
  return {
    grip: {
      friction: slippery.friction,
      pile: known.some(({ pile }) => pile),
      unspun: known.some(({ unspun }) => unspun),
    },
  };
}
