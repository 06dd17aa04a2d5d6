import { stripBendingNmm2, yarnBendingBoundsNmm2 } from './bending.ts';
import { fibreFactsOf, fibreNameOf } from './fibres.ts';
import { estimate, measuredByYou, type Ranged, type Stiffness } from './ownYarnTypes.ts';

/**
 * Fineness of single fibres, tex: middles of handbook ranges (cotton 1.2–2.3 dtex, merino 3–4, wool to 6.4, mohair
 * 5.4–14.9, silk 1–1.4, viscose 1.7–5.6, lyocell 1.3–1.7, acetate 2.5–5, nylon 1.7–6.7, polyester 1.3–6, acrylic 1.3–5;
 * flax and jute in bundles). The same that the shelf's yarns were reckoned with.
 */
const FIBRE_TEX: Readonly<Record<string, number>> = {
  cotton: 0.153,
  linen: 1,
  wool: 0.52,
  mohair: 0.9,
  silk: 0.13,
  viscose: 0.21,
  lyocell: 0.13,
  acetate: 0.36,
  nylon: 0.3,
  polyester: 0.13,
  acrylic: 0.33,
  polypropylene: 0.4,
  jute: 1.9,
};
const MERINO_TEX = 0.33;
/** Half cotton, half flax: so fine as would bend alike at flax's modulus. */
const COTTOLIN_TEX = 0.3;
/** Of an unknown textile fibre: silk to wool. */
const UNKNOWN_TEX: readonly [number, number] = [0.13, 0.52];

/**
 * A spun yarn's bending over that of its fibres, each free: 1–6 as tests have it (see `yarnBendingBoundsNmm2`). Limp and
 * stiff yarns take the ends of what was met; stiff ones reach to the cords' 45 (bending lengths 30–70 mm, common practice).
 */
const OVER_FREE: Readonly<Record<Stiffness, readonly [number, number]>> = {
  limp: [1, 2.5],
  usual: [1, 6],
  stiff: [4, 45],
  wire: [1, 6],
};

/** Bending of cut cloth per mm of its width, N mm²/mm: net and jersey, sheeting and satin, denim and felt (from memory). */
const SHEET_PER_MM: Readonly<Record<Stiffness, readonly [number, number]>> = {
  limp: [0.0002, 0.005],
  usual: [0.003, 0.02],
  stiff: [0.02, 0.4],
  wire: [0.02, 0.4],
};

/** Of the section of a yarn that holds a wire, what is metal (estimate). */
const CORE_SHARE: readonly [number, number] = [0.01, 0.1];

export interface OwnBending {
  readonly range: readonly [number, number];
  readonly from: string;
}

function fibreTexOf(fibre: string): readonly [number, number] {
  if (/merino|lambswool/i.test(fibre)) return [MERINO_TEX, MERINO_TEX];
  if (/cottolin/i.test(fibre)) return [COTTOLIN_TEX, COTTOLIN_TEX];
  const tex = FIBRE_TEX[fibreNameOf(fibre) ?? ''];
  return tex === undefined ? UNKNOWN_TEX : [tex, tex];
}

/** Solid round section, B = E π d⁴/64, of least and most modulus and width. */
function rod([least, most]: readonly [number, number], widthMm: Ranged): [number, number] {
  return [(1000 * least * Math.PI * widthMm.low ** 4) / 64, (1000 * most * Math.PI * widthMm.high ** 4) / 64];
}

/** Bending range of a round yarn, N mm². Free fibres B = E T_f T/(4πρ)·1e-3 times the range that its hang tells. */
export function ownYarnBending(
  fibre: string,
  tex: Ranged,
  density: Ranged,
  contactMm: Ranged,
  solid: boolean,
  stiffness: Stiffness | undefined,
): OwnBending {
  const { modulusGPa } = fibreFactsOf(fibre);
  if (solid) return { range: rod(modulusGPa, contactMm), from: 'computed (E x I of the section)' };
  const told = stiffness ?? 'usual';
  if (told === 'wire') {
    const core = rod(fibreFactsOf('steel').modulusGPa, contactMm);
    return {
      range: [core[0] * CORE_SHARE[0] ** 2, core[1] * CORE_SHARE[1] ** 2],
      from: `${estimate}: a wire of a hundredth to a tenth of its section`,
    };
  }
  const modulus = Math.sqrt(modulusGPa[0] * modulusGPa[1]) / density.value;
  const free = (texNow: number, fibreTex: number) =>
    yarnBendingBoundsNmm2(modulus, fibreTex, texNow, density.value, 0.5).freeNmm2;
  const [finest, coarsest] = fibreTexOf(fibre);
  const [least, most] = OVER_FREE[told];
  const how = stiffness ? `, ${told} in your hand` : '';
  return {
    range: [free(tex.value, finest) * least, free(tex.value, coarsest) * most],
    from: `${estimate} (beam-derived: fibres free, times ${least} to ${most}${how})`,
  };
}

/** Bending range of a strip across its thickness, N mm²: a solid sheet by beam theory, cut cloth by its width. */
export function ownStripBending(
  fibre: string,
  widthMm: Ranged,
  gaugeMm: Ranged,
  solid: boolean,
  stiffness: Stiffness | undefined,
): OwnBending {
  if (solid) {
    const [least, most] = fibreFactsOf(fibre).modulusGPa;
    return {
      range: [
        stripBendingNmm2(1000 * least, widthMm.low, gaugeMm.low),
        stripBendingNmm2(1000 * most, widthMm.high, gaugeMm.high),
      ],
      from: 'computed (E x I of the section)',
    };
  }
  const [least, most] = SHEET_PER_MM[stiffness ?? 'usual'];
  return {
    range: [least * widthMm.low, most * widthMm.high],
    from: stiffness
      ? `${estimate}: cut cloth, ${stiffness} in your hand (how it hangs: ${measuredByYou})`
      : `${estimate}: cut cloth of so much width`,
  };
}
