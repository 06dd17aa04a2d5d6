import { fibreNameOf, isMercerised } from './fibres.ts';
import { edgeHair } from './hairEdges.ts';
import { fibreCurl, fibreCurvature, fibreDiameterMm, fibreUnevenness } from './hairFibres.ts';
import { loopHair } from './hairLoops.ts';
import { pileHair } from './hairPile.ts';
import { isLooseFibre } from './unevenness.ts';
import { yarnBody } from './yarnBody.ts';
import { type Hairiness, type YarnRecord, yarnFactsOf } from './yarnRecord.ts';

/** Fibres that end in the air; strands whose both ends are held by the yarn; threads that stand off a strip's edges. */
export type HairForm = 'hair' | 'loop' | 'edge';

/**
 * What stands off a yarn's body, as numbers of one yarn laid freely. Lengths mm, angles rad.
 * A hair is a cylinder that tapers; it leaves the body's surface at `leanMeanRad` from the surface's normal on average
 * (0 to twice that, evenly), to any side. A loop is an arch of that length of strand.
 */
export interface YarnHair {
  readonly form: HairForm;
  /** Hairs rooted on each mm of yarn. */
  readonly perMm: number;
  readonly meanLengthMm: number;
  readonly longestMm: number;
  /** 0: lengths fall off exponentially; 1: cut, all within a fifth of the mean. */
  readonly evenness: number;
  /** At the root; of pile, of a lock of fibres that keep together; of loops and edges, of the strand. */
  readonly diameterMm: number;
  /** Share of the diameter lost at the tip. */
  readonly taper: number;
  readonly leanMeanRad: number;
  /** How far the way a hair leans may lie from the yarn's own, either sense of it, rad; absent: it leans to any side. */
  readonly sweepRad?: number;
  /** How far the middle of a hair lies aside of where it leans, over its run along the surface, at most; absent: 0. */
  readonly curl?: number;
  /** Of hair that bends evenly all along, its mean curvature (0 to twice that, evenly), rad/mm; absent: it bows by its crimp (`curl`). */
  readonly curvaturePerMm?: number;
  /** Thinnest and thickest hairs are this share thinner and thicker than the mean; absent: 0. */
  readonly unevenness?: number;
  /** Most that a hair stands off the body; what is longer lies along the yarn. */
  readonly heightMm: number;
  /** Share of the body's radius that is solid: the rest is pile. */
  readonly coreShare: number;
  /** Diameter of a core of wire, which nothing presses: `coreShare` is then of the body as laid freely alone. */
  readonly wireMm?: number;
  /** True where the hair gives way with the yarn at a crossing: pile. */
  readonly pressed: boolean;
  /** Of pile held between twisted threads: their turns to a mm, along which it leaves them. */
  readonly ridgesPerMm?: number;
  /** Of loops that are the half turns of a strand wound round the core: its turns to a mm, Z positive. */
  readonly windsPerMm?: number;
  /** How much more of it stands on the half of the yarn towards the cloth's face than on the other, over all of it, −1..1; absent: 0. */
  readonly onFace?: number;
  /** Where each number comes from. */
  readonly provenance: Readonly<Record<string, string>>;
}

/**
 * Hairiness index H (protruding fibre length over yarn length) of a 20 tex single: 4–8 for ring-spun cotton, less where
 * singed or combed long, more for woollen-spun (from memory of yarn testing). It grows with tex^0.4, and a fifth of it is
 * bound by plying (both from memory, estimates).
 */
const indexAt20Tex: Partial<Record<Hairiness, number>> = { low: 2.5, medium: 5, high: 9 };
const INDEX_POWER = 0.4;
const PLIED = 0.8;
/** Mercerised and spun-silk yarns are drawn through a flame, which leaves some three tenths of their hair (from memory). */
const SINGED = 0.3;
/** Bast fibres, spun wet, lie down: half of that (from memory). */
const BAST = 0.5;

/**
 * Counts of hairs fall off exponentially with length (Barella, from memory), so the longest that is met in a few cm of yarn is
 * ln(n · L) mean lengths: of 20 to 40 hairs a mm on 50 mm about eight. Length testers agree: a cotton yarn has hundreds of hairs
 * of 1 mm to the metre, and some ten of 3 mm (from memory of Zweigle’s S3).
 */
const LONGEST_OVER_MEAN = 8;
/** Of brushed hair, which is drawn out by its whole length: mean within [shortest, longest] (estimate). */
const HALO_MEAN_AT = 0.2;
/**
 * A roving, twisted less than this, tpm, binds its surface so little that three times the fibre stands off, some 4 % of its mass;
 * drafted side by side, fibres sweep along it (estimates).
 */
const ROVING_TURNS = 50;
const ROVING_HAIR = 3;
const ROVING_LEAN_RAD = 1.2;

/** Of a brushed yarn's mass, what stands off its core: 20–40 % (from memory). */
const HALO_MASS_SHARE = 0.35;
/** Of fibre laid in without twist, what is loose on it; it lies, scattered widely about the way it was pulled (estimates). */
const LOOSE_MASS_SHARE = 0.1;
/** It keeps together in wisps of so many fibres, which fill this share of them (estimates). */
const WISP_FIBRES = 8;
const WISP_PACKING = 0.4;
const LOOSE_LEAN_RAD = 1.3;
const LOOSE_HEIGHT = 0.25;
/**
 * Brushes raise fibres to every side, steeper than spinning leaves them; heavy ones without crimp lie over further and hide their
 * core (estimates).
 */
const HALO_LEAN_RAD = 0.7;
const BOWED_LEAN_RAD = 1;
const SPUN_LEAN_RAD = 0.8;
/** Spun ones come out of the yarn the way that its fibres run, and stray from that by so much at most (estimate). */
const SWEEP_RAD = 1;

/** What stands off a yarn as laid, before finishing; undefined where nothing does. */
export function yarnHair(record: YarnRecord): YarnHair | undefined {
  const { hairiness, hairLengthMm } = record;
  if (hairiness === 'frayed edge') return edgeHair(record);
  if (!hairiness || !hairLengthMm || record.shape === 'strip') return undefined;
  if (hairiness === 'pile') return pileHair(record, hairLengthMm);
  if (hairiness === 'loops') return loopHair(record, hairLengthMm);
  const halo = hairiness === 'halo';
  const fibreMm = fibreDiameterMm(record.fibre);
  const loose = halo && isLooseFibre(record);
  const diameterMm = loose ? fibreMm * Math.sqrt(WISP_FIBRES / WISP_PACKING) : fibreMm;
  const massShare = loose ? LOOSE_MASS_SHARE : HALO_MASS_SHARE;
  const index = halo ? haloIndex(record, fibreMm, massShare) / (loose ? WISP_FIBRES : 1) : spunIndex(record);
  if (!(index > 0)) return undefined;
  const [shortest, longest] = hairLengthMm;
  const mean = halo ? shortest + HALO_MEAN_AT * (longest - shortest) : longest / LONGEST_OVER_MEAN;
  const curvaturePerMm = halo && !loose ? fibreCurvature(record.fibre) : undefined;
  const haloLean = loose ? LOOSE_LEAN_RAD : curvaturePerMm ? BOWED_LEAN_RAD : HALO_LEAN_RAD;
  const lean = halo ? haloLean : isRoving(record) ? ROVING_LEAN_RAD : SPUN_LEAN_RAD;
  return {
    form: 'hair',
    perMm: index / mean,
    meanLengthMm: mean,
    longestMm: longest,
    evenness: 0,
    diameterMm,
    taper: 0.3,
    leanMeanRad: lean,
    ...(halo && !loose ? {} : { sweepRad: SWEEP_RAD }),
    curl: fibreCurl(record.fibre),
    ...(curvaturePerMm ? { curvaturePerMm } : {}),
    unevenness: fibreUnevenness(record.fibre),
    // One hair in four or so would stand higher by its lean; it bends over, as weaving presses it.
    heightMm: loose
      ? LOOSE_HEIGHT * yarnBody(yarnFactsOf(record)).bodyWidthMm
      : (halo ? 1.2 : 1.3) * mean * Math.cos(lean),
    coreShare: halo ? Math.sqrt(1 - massShare) : 1,
    pressed: false,
    provenance: {
      perMm: halo
        ? 'of the mass a third stands off (from memory), of loose fibre a tenth in wisps (estimate), over the fibre’s mass and the mean length'
        : 'hairiness index, from memory, over the mean length',
      meanLengthMm: halo
        ? 'within the range of hairLengthMm (estimate)'
        : 'an eighth of the longest of hairLengthMm: what falls off exponentially is met so long in some cm (from memory)',
      diameterMm: 'middle of the range for the fibre',
      leanMeanRad: 'estimate',
      sweepRad: 'estimate',
      curl: 'estimate, by fibre',
      ...(curvaturePerMm ? { curvaturePerMm: 'measured on snippets of mohair (from memory)' } : {}),
      unevenness: 'from the spread of diameters for the fibre',
      heightMm: 'estimate',
    },
  };
}

function isRoving({ plies, twistTurnsPerM }: YarnRecord): boolean {
  const most = twistTurnsPerM?.[1] ?? 0;
  return plies === 1 && most > 0 && most < ROVING_TURNS;
}

function isSinged({ fibre, name }: YarnRecord): boolean {
  return isMercerised(`${fibre} ${name}`) || /silk spun|spun silk/i.test(name);
}

function spunIndex(record: YarnRecord): number {
  const { hairiness, tex, plies, fibre } = record;
  const bast = fibreNameOf(fibre) === 'linen' ? BAST : 1;
  const singed = isSinged(record) ? SINGED : 1;
  const at20 = indexAt20Tex[hairiness ?? 'none'] ?? 0;
  return (
    at20 * (tex / 20) ** INDEX_POWER * (plies > 1 ? PLIED : 1) * bast * singed * (isRoving(record) ? ROVING_HAIR : 1)
  );
}

function haloIndex({ tex, fibreDensityGPerCm3 }: YarnRecord, fibreMm: number, massShare: number): number {
  const fibreTex = (Math.PI / 4) * fibreMm ** 2 * fibreDensityGPerCm3 * 1000;
  return (massShare * tex) / fibreTex;
}
