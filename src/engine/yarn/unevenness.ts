import { fibreNameOf } from './fibres.ts';
import type { YarnFacts, YarnUnevenness } from './yarnTypes.ts';

/**
 * A staple as it is spun: fineness of a fibre (tex; of linen and jute, the bundle that spinning leaves), index of
 * irregularity (how many times more uneven than fibres laid end to end at random) and mean length (mm).
 * Common practice, from memory; finer spinning comes nearer to 1.
 */
interface Staple {
  readonly fibreTex: number;
  readonly index: number;
  readonly lengthMm: number;
}

const staples: Readonly<Record<string, Staple>> = {
  cotton: { fibreTex: 0.17, index: 2, lengthMm: 26 },
  linen: { fibreTex: 1.2, index: 1.4, lengthMm: 60 },
  wool: { fibreTex: 0.5, index: 1.3, lengthMm: 65 },
  mohair: { fibreTex: 0.9, index: 1.4, lengthMm: 90 },
  silk: { fibreTex: 0.13, index: 2, lengthMm: 60 },
  viscose: { fibreTex: 0.17, index: 1.5, lengthMm: 40 },
  lyocell: { fibreTex: 0.15, index: 1.5, lengthMm: 38 },
  acrylic: { fibreTex: 0.33, index: 1.5, lengthMm: 60 },
  polyester: { fibreTex: 0.17, index: 1.5, lengthMm: 40 },
  nylon: { fibreTex: 0.17, index: 1.5, lengthMm: 40 },
  jute: { fibreTex: 2, index: 1.6, lengthMm: 80 },
};

/** Unevenness of fibres laid at random grows with their own: 106 / √n % for cotton, 112 / √n % for wool. */
const RANDOM_CV = 1.09;
/** Drafting waves are about 2.8 fibre lengths long (common practice); half of one from thick to thin. */
const HALF_WAVE_LENGTHS = 1.4;
/** No round yarn is taken for more uneven, whatever the rule says of a few coarse fibres. */
const MOST_WIDTH_CV = 0.15;

/** Laid by hand in tufts, about a quarter of a fibre long from thick to thin (common practice; the figures are estimates). */
const TUFTS = { widthCv: 0.15, fibreLengths: 0.25 };
/** Folds of a soft strip move along it as it is laid: over about twice its cut width, by a seventh (estimate). */
const FOLDS = { widthCv: 0.14, cutWidths: 2 };
/** Not folded, a strip is as even as it was cut. */
const FOLDED_SHARE = 0.7;

/** Fibre that is laid as it is: its card calls it loose. */
export function isLooseFibre({ name, twistTurnsPerM }: Pick<YarnFacts, 'name' | 'twistTurnsPerM'>): boolean {
  return /loose/i.test(name) && !twistTurnsPerM?.[1];
}

/** Made of filament, sheet or wire, or braided: as even as it was made. */
const MADE_EVEN =
  /filament|film|wire|mono|ribbon|organza|covered|braid|cord|rope|tape|strip|net\b|stem|card|steel|copper/i;

/**
 * How a spun yarn's width varies along it, by a rule from its facts; undefined where it does not.
 *
 * Mass: CV = index · 1.09 / √n of a single with n fibres in its section (J. G. Martindale 1945, J. Text. Inst. 36, T35:
 * the limit, 112 / √n % for wool, 106 / √n % for cotton), over √plies where singles are plied at random. Width goes as
 * the root of mass, so varies half as much. Good to a factor of about 1.5 either way.
 */
export function yarnUnevenness(facts: YarnFacts): YarnUnevenness | undefined {
  const { slubs } = facts;
  const { shape, contactWidthMm, stripWidthMm } = facts;
  if (shape === 'strip' && facts.compressibility !== 'none' && stripWidthMm && contactWidthMm) {
    if (contactWidthMm < FOLDED_SHARE * stripWidthMm)
      return { widthCv: FOLDS.widthCv, halfWaveMm: FOLDS.cutWidths * stripWidthMm };
  }
  const staple = staples[fibreNameOf(facts.fibre) ?? 'cotton'];
  if (facts.shape === 'strip' || !staple || MADE_EVEN.test(`${facts.fibre} ${facts.name}`)) return undefined;
  if (isLooseFibre(facts))
    return { widthCv: TUFTS.widthCv, halfWaveMm: TUFTS.fibreLengths * staple.lengthMm, ...(slubs ? { slubs } : {}) };
  const fibres = Math.max(1, facts.tex / facts.plies / staple.fibreTex);
  const massCv = (staple.index * RANDOM_CV) / Math.sqrt(fibres * facts.plies);
  return {
    widthCv: Math.min(MOST_WIDTH_CV, massCv / 2),
    halfWaveMm: HALF_WAVE_LENGTHS * staple.lengthMm,
    ...(slubs ? { slubs } : {}),
  };
}

/** Of strands lying together, each as uneven as it is by itself: deviations add as their squares, by tex. */
export function bundleUnevenness(
  strands: readonly { readonly tex: number; readonly unevenness?: YarnUnevenness }[],
): YarnUnevenness | undefined {
  const tex = strands.reduce((sum, strand) => sum + strand.tex, 0);
  const uneven = strands.filter((strand) => strand.unevenness !== undefined);
  if (uneven.length === 0) return undefined;
  const part = (strand: (typeof strands)[number]) => (strand.tex * (strand.unevenness?.widthCv ?? 0)) / tex;
  return {
    widthCv: Math.hypot(...uneven.map(part)),
    halfWaveMm: Math.max(...uneven.map((strand) => strand.unevenness?.halfWaveMm ?? 0)),
    ...(uneven.length === strands.length && strands.length === 1 ? { slubs: uneven[0].unevenness?.slubs } : {}),
  };
}
