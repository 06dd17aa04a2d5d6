import type { YarnHair } from './hair.ts';
import { fibreDiameterMm } from './hairFibres.ts';
import { yarnBody } from './yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from './yarnRecord.ts';

/** Of a chenille yarn's mass, what is pile (estimate); its locks hold this many fibres (estimate). */
const PILE_MASS_SHARE = 0.6;
const LOCK_FIBRES = 3;
/** Of a lock's section, what is fibre (estimate). */
const LOCK_PACKING = 0.5;
/** Fibres of a lock end at unlike heights, the last by itself: so much of its width is gone at its tip (estimate). */
const LOCK_TAPER = 0.4;
/** Locks hold one fibre to six: so much thinner and thicker than one of three, as the root of their number (estimate). */
const LOCK_UNEVENNESS = 0.45;
/** Cut ends spring apart: lean, and how far a lock's middle lies aside over its run (estimates). */
const PILE_LEAN_RAD = 0.4;
const PILE_CURL = 0.3;
/** Solid core of a chenille yarn over its free width (from memory of sections). */
const PILE_CORE = 0.45;

/** Bristles of a wired stem: coarse (0.05 to 0.15, from memory), cut straight, each by itself, mm. */
const BRISTLE_MM = 0.1;
const STEEL_G_PER_CM3 = 7.85;
const BRISTLE_G_PER_CM3 = 1.2;

/** Pile between twisted threads, or bristles between twisted wires. */
export function pileHair(record: YarnRecord, lengthMm: readonly [number, number]): YarnHair | undefined {
  const body = yarnBody(yarnFactsOf(record));
  const radius = body.bodyWidthMm / 2;
  const { core } = record;
  if (core) return bristles(record, lengthMm, radius, core.diameterMm);
  // Cut across the core, a pile end stands out by half of what was cut, at most to the yarn's own width.
  const length = Math.min(0.5 * (lengthMm[0] + lengthMm[1]), radius * (1 - PILE_CORE));
  const fibre = fibreDiameterMm(record.fibre);
  const fibreTex = (Math.PI / 4) * fibre * fibre * record.fibreDensityGPerCm3 * 1000;
  const fibres = (PILE_MASS_SHARE * record.tex) / fibreTex;
  return {
    form: 'hair',
    perMm: fibres / length / LOCK_FIBRES,
    meanLengthMm: length,
    longestMm: 1.2 * length,
    evenness: 1,
    diameterMm: fibre * Math.sqrt(LOCK_FIBRES / LOCK_PACKING),
    taper: LOCK_TAPER,
    leanMeanRad: PILE_LEAN_RAD,
    curl: PILE_CURL,
    unevenness: LOCK_UNEVENNESS,
    heightMm: 1.2 * length,
    coreShare: PILE_CORE,
    pressed: true,
    ridgesPerMm: ridgesOf(record),
    provenance: {
      perMm: 'from the mass of the pile, locks of 3 fibres (estimate)',
      meanLengthMm: 'from the yarn’s width (computed) and a core of 0.45 of it (from memory)',
      diameterMm: 'from the fibre and a lock’s packing (estimate)',
      leanMeanRad: 'estimate',
      curl: 'estimate',
      unevenness: 'locks of one fibre to six (estimate)',
      ridgesPerMm: 'twist of the core',
    },
  };
}

function bristles(
  record: YarnRecord,
  [shortest, longest]: readonly [number, number],
  radius: number,
  coreMm: number,
): YarnHair | undefined {
  const across = record.freeWidthMm ?? 2 * radius;
  const mean = Math.min(0.5 * (shortest + longest), (across - coreMm) / 2);
  // Two wires, each half as thick as the pair.
  const wireTex = 2 * (Math.PI / 4) * (coreMm / 2) ** 2 * STEEL_G_PER_CM3 * 1000;
  const bristleTex = (Math.PI / 4) * BRISTLE_MM ** 2 * BRISTLE_G_PER_CM3 * 1000;
  // A piece of pile goes through between the wires: what they hold of it does not stand free.
  const free = (2 * mean) / (2 * mean + coreMm);
  const perMm = (free * (record.tex - wireTex)) / bristleTex / mean;
  if (!(mean > 0 && perMm > 0)) return undefined;
  return {
    form: 'hair',
    perMm,
    meanLengthMm: mean,
    longestMm: 1.1 * mean,
    evenness: 1,
    diameterMm: BRISTLE_MM,
    taper: 0,
    // Cut straight and held between two turns of wire, they stand out along the radius and spring a little apart.
    leanMeanRad: 0.25,
    curl: 0.1,
    unevenness: 0.2,
    heightMm: 1.2 * mean,
    coreShare: coreMm / (2 * radius),
    wireMm: coreMm,
    // Springy: it stands up again beside whatever presses it.
    pressed: false,
    ridgesPerMm: ridgesOf(record),
    provenance: {
      perMm: 'from the mass beside the wires, less what lies between them',
      meanLengthMm: 'hairLengthMm',
      diameterMm: 'from memory',
      leanMeanRad: 'estimate',
      coreShare: 'the wires’ diameter',
      ridgesPerMm: 'twist of the wires',
    },
  };
}

/** Turns to a mm of what is wound with or about a core, Z positive; undefined where the card does not say. */
export function ridgesOf({ twistTurnsPerM, twistDirection }: YarnRecord): number | undefined {
  if (!twistTurnsPerM) return undefined;
  return ((twistTurnsPerM[0] + twistTurnsPerM[1]) / 2000) * (twistDirection === 'Z' ? 1 : -1);
}
