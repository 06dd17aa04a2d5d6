import { roundDiameterMm } from './diameter.ts';
import { fibreNameOf } from './fibres.ts';
import type { YarnHair } from './hair.ts';
import { ridgesOf } from './hairPile.ts';
import type { YarnRecord } from './yarnRecord.ts';

/** Of the yarn's mass, what is the strand that makes the loops; the rest is core and binder (estimate). */
const EFFECT_MASS_SHARE = 0.6;
/** Its length over the yarn's: fed in this much faster than the core (1.5–3 for loop yarns, from memory). */
const OVERFEED = 2.5;
/**
 * Gimp has loops no longer than this: the half turns of heavier threads that are wound round its core. They are so much of its mass
 * (both from memory).
 */
const GIMP_LONGEST_MM = 1.5;
const WRAP_MASS_SHARE = 0.87;
const WRAP_STEPS = 8;
/** Mean length within [shortest, longest] (estimate). */
const MEAN_AT = 0.3;
/** It is two strands that lie together (common practice of bouclé, where one would make few coarse loops), each softly spun (estimate). */
const STRANDS = 2;
const STRAND_PACKING = 0.5;
/**
 * A strand of long slippery hair is a roving hardly twisted: where it stands in a loop it opens into so many tresses, some finer and
 * some thicker; shorter fibre holds together (estimates from close-ups of loop yarns).
 */
const OPENS_INTO: Readonly<Record<string, number>> = { mohair: 7 };
const TRESS_UNEVENNESS = 0.4;
/** Height of a loop over its foot's width, on average, and how much of its strand's length that height is. */
export const LOOP_RISE_OVER_CHORD = 0.9;
const HEIGHT_OVER_LENGTH = 0.38;

/** Loops of a strand that is fed in faster than the core that holds it. */
export function loopHair(record: YarnRecord, [shortest, longest]: readonly [number, number]): YarnHair {
  const windsPerMm = ridgesOf(record);
  if (longest < GIMP_LONGEST_MM && windsPerMm && record.freeWidthMm)
    return woundHair(record, windsPerMm, record.freeWidthMm);
  const strandTex = (EFFECT_MASS_SHARE * record.tex) / OVERFEED / STRANDS;
  // Small loops are more than large ones.
  const mean = shortest + MEAN_AT * (longest - shortest);
  // What is fed in beyond the yarn's own length stands off it.
  const tresses = OPENS_INTO[fibreNameOf(record.fibre) ?? ''] ?? 1;
  const perMm = (STRANDS * tresses * (OVERFEED - 1)) / mean;
  const lies = 1 - EFFECT_MASS_SHARE * (1 - 1 / OVERFEED);
  return {
    form: 'loop',
    perMm,
    meanLengthMm: mean,
    longestMm: longest,
    evenness: 0.25,
    diameterMm: roundDiameterMm(strandTex / tresses, STRAND_PACKING, record.fibreDensityGPerCm3),
    taper: 0,
    leanMeanRad: 0.5,
    unevenness: tresses > 1 ? TRESS_UNEVENNESS : 0,
    heightMm: 1.3 * HEIGHT_OVER_LENGTH * longest,
    coreShare: Math.sqrt(lies),
    pressed: false,
    provenance: {
      perMm:
        'two effect strands, of mohair opened into seven tresses (estimate), fed in at two and a half times the yarn’s length (estimates), over the loops’ mean length',
      meanLengthMm: 'within hairLengthMm (estimate)',
      diameterMm: 'from an effect strand’s tex (of six tenths of the mass, estimate) and a packing of 0.5',
      leanMeanRad: 'estimate',
      heightMm: 'an arch of that length, as high as 0.9 of its foot’s width (estimate)',
      coreShare: 'from the mass that lies along the yarn',
    },
  };
}

/**
 * Threads wound round a core, as half turns: a turn about a centre line of diameter D takes √((π D)² + pitch²) of thread, and
 * what is outermost is the free width, D + d.
 */
function woundHair(record: YarnRecord, windsPerMm: number, widthMm: number): YarnHair {
  const { tex, plies, fibreDensityGPerCm3 } = record;
  const pitchMm = 1 / Math.abs(windsPerMm);
  const wrapTex = (WRAP_MASS_SHARE * tex) / plies;
  const turnMm = (diameterMm: number) => Math.hypot(Math.PI * (widthMm - diameterMm), pitchMm);
  let diameterMm = 0;
  for (let step = 0; step < WRAP_STEPS; step++) {
    diameterMm = roundDiameterMm((wrapTex * pitchMm) / turnMm(diameterMm), STRAND_PACKING, fibreDensityGPerCm3);
  }
  return {
    form: 'loop',
    perMm: (2 * plies) / pitchMm,
    meanLengthMm: turnMm(diameterMm) / 2,
    longestMm: turnMm(diameterMm) / 2,
    evenness: 1,
    diameterMm,
    taper: 0,
    leanMeanRad: 0,
    heightMm: diameterMm / 2,
    // Wraps lie so close that between them the eye comes no deeper than their middle (estimate).
    coreShare: 1 - diameterMm / widthMm,
    pressed: false,
    windsPerMm,
    provenance: {
      perMm: 'two half turns of each wrap a turn',
      meanLengthMm: 'a helix round the core',
      diameterMm: 'from the wraps’ mass (from memory) and a packing of 0.5 (estimate)',
      heightMm: 'half a wrap’s thickness',
      coreShare: 'the wraps’ centre line',
    },
  };
}
