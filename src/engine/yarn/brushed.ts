import { bloomedHair } from './bloomedHair.ts';
import { fibreFactsOf, fibreNameOf } from './fibres.ts';
import type { YarnHair } from './hair.ts';
import { fibreCurl, fibreCurvature, fibreDiameterMm, fibreUnevenness } from './hairFibres.ts';
import { yarnBody } from './yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from './yarnRecord.ts';

export type BrushStrength = 'light' | 'raised' | 'hard';

/** Why a yarn gives the brush no fibre that was not standing before; pile, loops and frayed edges it stands up or breaks. */
export type Unbrushable = 'filament' | 'strip' | 'pile';

/**
 * Share of a soft yarn's fibre that stands off it afterwards: a few strokes, a raised cloth, one raised until it weakens
 * (estimates; finishers take 3–10 % of the weight as flock and nap, from memory).
 */
const raisedShare: Readonly<Record<BrushStrength, number>> = { light: 0.02, raised: 0.07, hard: 0.12 };
/** How far the same go with pile, loops and frayed edges (`bloomedHair`). */
const bloomShare: Readonly<Record<BrushStrength, number>> = { light: 0.3, raised: 0.8, hard: 1 };
/** Harder strokes draw fibres out further (estimate). */
const drawn: Readonly<Record<BrushStrength, number>> = { light: 0.7, raised: 1, hard: 1.25 };

/** Mean length raised, mm: a tenth or so of the staple, less of stiff bast that breaks (estimates). */
const raisedLengthMm: Readonly<Record<string, number>> = {
  cotton: 2,
  linen: 1.5,
  jute: 3,
  wool: 5,
  mohair: 10,
  silk: 2.5,
  viscose: 3,
  lyocell: 2.5,
  acrylic: 5,
  polyester: 3,
  nylon: 4,
};

/** Twist at which the brush draws out next to nothing: surface fibres at 40° to the yarn (estimate). */
const HELD_TAN = Math.tan((40 * Math.PI) / 180);
/** Surface fibres of a plied yarn run about half as steep. */
const PLIED = 0.5;
const LEAST_SOFTNESS = 0.1;

/** Undefined where the brush raises fibre. */
export function unbrushable(record: YarnRecord): Unbrushable | undefined {
  if (record.shape === 'strip') return 'strip';
  if (record.hairiness === 'pile') return 'pile';
  // Staple has ends to raise: what a card calls hairless is filament, film, wire, or paper.
  return record.hairiness === undefined || record.hairiness === 'none' ? 'filament' : undefined;
}

/** How readily fibres are drawn out, 0..1: less the harder a yarn is twisted. */
function softness(record: YarnRecord): number {
  const tan = Math.tan(yarnBody(yarnFactsOf(record)).twistAngleRad) * (record.plies > 1 ? PLIED : 1);
  return Math.max(LEAST_SOFTNESS, 1 - tan / HELD_TAN);
}

/** Where a brush came to: shares 0..1 of a yarn that lay uppermost on the side it went over; together at most 1. */
export interface BrushReach {
  readonly face: number;
  readonly back: number;
}

/**
 * A yarn's hair after brushing: what stood off it all round, and the fibres that were drawn out of the half that the brush
 * met. Length of hair to the mm of yarn = share of the yarn's mass raised × its tex over the fibre's.
 */
export function brushedHair(
  record: YarnRecord,
  hair: YarnHair | undefined,
  strength: BrushStrength,
  { face, back }: BrushReach,
): YarnHair | undefined {
  const reach = face + back;
  if (!(reach > 0)) return hair;
  if (hair && (hair.form !== 'hair' || hair.pressed))
    return bloomedHair(hair, { brushed: bloomShare[strength] * reach });
  if (unbrushable(record)) return hair;
  const fibre = fibreNameOf(record.fibre) ?? '';
  const diameterMm = fibreDiameterMm(record.fibre);
  const fibreTex = (Math.PI / 4) * diameterMm * diameterMm * fibreFactsOf(record.fibre).densityGPerCm3 * 1000;
  const raised = (raisedShare[strength] * softness(record) * reach * record.tex) / fibreTex;
  const length = (raisedLengthMm[fibre] ?? 2.5) * drawn[strength];
  const before = hair ? hair.perMm * hair.meanLengthMm : 0;
  const perMm = (hair?.perMm ?? 0) + raised / length;
  const meanLengthMm = (before + raised) / perMm;
  const onFace = (before * (hair?.onFace ?? 0) + (raised * (face - back)) / reach) / (before + raised);
  // Raised fibres stand up, and lie over in the brush's way above.
  const lean = (before * (hair?.leanMeanRad ?? 0) + raised * 0.75) / (before + raised);
  return {
    form: 'hair',
    perMm,
    meanLengthMm,
    longestMm: Math.max(hair?.longestMm ?? 0, 3 * length),
    evenness: 0,
    diameterMm,
    taper: hair?.taper ?? 0.3,
    leanMeanRad: lean,
    onFace,
    curl: fibreCurl(record.fibre),
    curvaturePerMm: fibreCurvature(record.fibre),
    unevenness: fibreUnevenness(record.fibre),
    heightMm: Math.max(hair?.heightMm ?? 0, 1.2 * length * Math.cos(lean)),
    coreShare: 1,
    pressed: false,
    provenance: {
      ...hair?.provenance,
      perMm: 'from the share of fibre that brushing raises (estimate), the twist and the yarn’s tex',
      meanLengthMm: 'from the fibre’s staple (estimate)',
    },
  };
}
