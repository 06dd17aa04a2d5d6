import type { GramsPerCubicCentimetre } from '#engine/units/units.ts';

export interface FibreFacts {
  /** At 65 % relative humidity. */
  readonly densityGPerCm3: GramsPerCubicCentimetre;
  /** Young's modulus along the fibre, initial slope; 1 GPa = 1 kN/mm². */
  readonly modulusGPa: readonly [number, number];
}

/**
 * Densities: W. E. Morton & J. W. S. Hearle, Physical Properties of Textile Fibres, 4th ed. 2008, Tables 5.1 and 5.2
 * (polyethylene LD, paper and linen from memory).
 * Moduli: the same, Tables 13.1 and 13.2 (initial modulus in N/tex times density); lyocell, mercerised cotton,
 * elastane, paper, polyethylene and glass from memory; copper and steel from handbooks.
 */
const fibres: Readonly<Record<string, FibreFacts>> = {
  cotton: { densityGPerCm3: 1.52, modulusGPa: [5.9, 11.1] },
  linen: { densityGPerCm3: 1.5, modulusGPa: [20, 27] },
  wool: { densityGPerCm3: 1.31, modulusGPa: [2.8, 3.9] },
  mohair: { densityGPerCm3: 1.31, modulusGPa: [3.3, 4.6] },
  silk: { densityGPerCm3: 1.34, modulusGPa: [9, 10] },
  viscose: { densityGPerCm3: 1.49, modulusGPa: [7.2, 9.7] },
  lyocell: { densityGPerCm3: 1.5, modulusGPa: [12, 16.5] },
  acetate: { densityGPerCm3: 1.32, modulusGPa: [4, 5] },
  nylon: { densityGPerCm3: 1.14, modulusGPa: [0.7, 5] },
  polyester: { densityGPerCm3: 1.39, modulusGPa: [12.2, 18.3] },
  acrylic: { densityGPerCm3: 1.19, modulusGPa: [5, 7.4] },
  polyethylene: { densityGPerCm3: 0.95, modulusGPa: [0.1, 1] },
  polypropylene: { densityGPerCm3: 0.91, modulusGPa: [2.7, 6.5] },
  pvc: { densityGPerCm3: 1.4, modulusGPa: [2, 4] },
  elastane: { densityGPerCm3: 1.2, modulusGPa: [0.005, 0.015] },
  glass: { densityGPerCm3: 2.5, modulusGPa: [70, 75] },
  aramid: { densityGPerCm3: 1.44, modulusGPa: [60, 130] },
  jute: { densityGPerCm3: 1.45, modulusGPa: [20, 25] },
  paper: { densityGPerCm3: 0.75, modulusGPa: [3, 6] },
  copper: { densityGPerCm3: 8.9, modulusGPa: [117, 120] },
  steel: { densityGPerCm3: 7.85, modulusGPa: [190, 224] },
};

/** Fibres whose figures are known. */
export const FIBRE_NAMES: readonly string[] = Object.keys(fibres);

/** Other words by which a fibre is called, tried in order against its description. */
const fibreWords: readonly (readonly [RegExp, string])[] = [
  [/steel/i, 'steel'],
  [/copper/i, 'copper'],
  [/mohair|alpaca|llama/i, 'mohair'],
  [/merino|wool|felt|cashmere|angora|camel|yak/i, 'wool'],
  [/cottolin|linen|flax|hemp|ramie/i, 'linen'],
  [/jersey|denim|cotton/i, 'cotton'],
  [/paper|card|raffia|leaf/i, 'paper'],
  [/elast/i, 'elastane'],
  [/nylon|polyamide/i, 'nylon'],
  [/\bpet\b|polyester|film/i, 'polyester'],
  [/silk/i, 'silk'],
  [/acetate/i, 'acetate'],
  [/lyocell/i, 'lyocell'],
  [/viscose|rayon|modal|bamboo/i, 'viscose'],
  [/acrylic/i, 'acrylic'],
  [/jute|sisal|coir/i, 'jute'],
  [/aramid/i, 'aramid'],
  [/glass/i, 'glass'],
  [/pvc|vinyl/i, 'pvc'],
];

/** Cellulosics and proteins lie between 3 and 11 GPa; taken where the fibre's name says nothing. */
const unknownFibre: FibreFacts = { densityGPerCm3: 1.4, modulusGPa: [3, 11] };

/**
 * Density and modulus of the fibre that a description names ("mercerised cotton", "PET film, aluminised").
 * A mixture answers as its stiffest or first-listed part; an unknown name gets 1.4 g/cm³ and 3–11 GPa.
 */
export function fibreFactsOf(fibre: string): FibreFacts {
  const name = fibreNameOf(fibre);
  return name === undefined ? unknownFibre : fibres[name];
}

/** Our name for the fibre that a description names; undefined where it names none that is known. */
export function fibreNameOf(fibre: string): string | undefined {
  const plain = fibre.trim().toLowerCase();
  for (const name in fibres) if (plain.startsWith(name)) return name;
  return fibreWords.find(([words]) => words.test(plain))?.[1];
}

/** Whether a description says that the yarn was mercerised. */
export function isMercerised(description: string): boolean {
  return /\bmerceri[sz]ed/i.test(description);
}
