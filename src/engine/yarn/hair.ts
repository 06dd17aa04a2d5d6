import { fibreNameOf } from './fibres.ts';
import { yarnBody } from './yarnBody.ts';
import type { Hairiness, YarnRecord } from './yarnRecord.ts';
import { yarnFactsOf } from './yarnRecord.ts';

/**
 * Fibres that stand off a yarn's body, as numbers of one yarn laid freely. Lengths mm, angles rad.
 * A hair is a cylinder that tapers; it leaves the body's surface at `leanMeanRad` from the surface's normal on average
 * (0 to twice that, evenly), to any side.
 */
export interface YarnHair {
  /** Hairs rooted on each mm of yarn. */
  readonly perMm: number;
  readonly meanLengthMm: number;
  readonly longestMm: number;
  /** 0: lengths fall off exponentially; 1: cut, all within a fifth of the mean. */
  readonly evenness: number;
  /** At the root; of pile, of a lock of fibres that keep together. */
  readonly diameterMm: number;
  /** Share of the diameter lost at the tip. */
  readonly taper: number;
  readonly leanMeanRad: number;
  /** Most that a hair stands off the body; what is longer lies along the yarn. */
  readonly heightMm: number;
  /** Share of the body's radius that is solid: the rest is pile. */
  readonly coreShare: number;
  /** True where the hair gives way with the yarn at a crossing: pile. */
  readonly pressed: boolean;
  /** Where each number comes from. */
  readonly provenance: Readonly<Record<string, string>>;
}

/**
 * Fibre diameters, mm: middles of the ranges in Morton & Hearle 2008 and in the microscopy of Von Bergen 1963 (cotton 12–20
 * µm, wool 17–25, mohair 23–38 read; the others from memory or computed from fineness). Linen and jute stand off in
 * bundles of a few ultimates (from memory).
 */
const fibreDiameterMm: Readonly<Record<string, number>> = {
  cotton: 0.016,
  linen: 0.025,
  wool: 0.021,
  mohair: 0.03,
  silk: 0.012,
  viscose: 0.015,
  lyocell: 0.0115,
  acetate: 0.018,
  nylon: 0.02,
  polyester: 0.016,
  acrylic: 0.017,
  jute: 0.06,
};

/**
 * Hairiness index H (protruding fibre length over yarn length) of a 20 tex single: 4–8 for ring-spun cotton, less where
 * singed or combed long, more for woollen-spun (from memory of yarn testing). It grows with tex^0.4, and a fifth of it is
 * bound by plying (both from memory, estimates).
 */
const indexAt20Tex: Partial<Record<Hairiness, number>> = { low: 2.5, medium: 5, high: 9 };
const INDEX_POWER = 0.4;
const PLIED = 0.8;
/** Bast fibres, spun wet, lie down: half of that (from memory). */
const BAST = 0.5;

/** Mean length within [shortest, longest]: counts of hairs fall off exponentially with length (Barella, from memory). */
const MEAN_AT = 0.2;

/** Brushed mohair: protruding length over yarn length at 200 tex, growing as the mass does (estimate). */
const HALO_INDEX = 24;
const HALO_TEX = 200;

/** Of a chenille yarn's mass, what is pile (estimate); its locks hold this many fibres (estimate). */
const PILE_MASS_SHARE = 0.6;
const LOCK_FIBRES = 24;
/** Of a lock's section at its root, what is fibre (estimate). */
const LOCK_PACKING = 0.5;
/** Solid core of a chenille yarn over its free width (from memory of sections). */
const PILE_CORE = 0.45;

/** Hair of a yarn as laid, before finishing; undefined where it has none. */
export function yarnHair(record: YarnRecord): YarnHair | undefined {
  const { hairiness, hairLengthMm } = record;
  if (!hairiness || !hairLengthMm || record.shape === 'strip') return undefined;
  if (hairiness === 'pile') return pileOf(record, hairLengthMm);
  const halo = hairiness === 'halo';
  const bast = fibreNameOf(record.fibre) === 'linen' ? BAST : 1;
  const index = halo
    ? (HALO_INDEX * record.tex) / HALO_TEX
    : (indexAt20Tex[hairiness] ?? 0) * (record.tex / 20) ** INDEX_POWER * (record.plies > 1 ? PLIED : 1) * bast;
  if (!(index > 0)) return undefined;
  const [shortest, longest] = hairLengthMm;
  const mean = shortest + MEAN_AT * (longest - shortest);
  const lean = halo ? 1.05 : 0.8;
  return {
    perMm: index / mean,
    meanLengthMm: mean,
    longestMm: longest,
    evenness: 0,
    diameterMm: diameterOf(record),
    taper: 0.3,
    leanMeanRad: lean,
    // One hair in four or so would stand higher by its lean; it bends over, as weaving presses it.
    heightMm: (halo ? 1.2 : 1.3) * mean * Math.cos(lean),
    coreShare: 1,
    pressed: false,
    provenance: {
      perMm: halo ? 'estimate' : 'hairiness index, from memory, over the mean length',
      meanLengthMm: 'within the range of hairLengthMm, exponential (from memory)',
      diameterMm: 'middle of the range for the fibre',
      leanMeanRad: 'estimate',
      heightMm: 'estimate',
    },
  };
}

function diameterOf(record: YarnRecord): number {
  return fibreDiameterMm[fibreNameOf(record.fibre) ?? ''] ?? 0.018;
}

function pileOf(record: YarnRecord, [shortest, longest]: readonly [number, number]): YarnHair {
  const body = yarnBody(yarnFactsOf(record));
  const radius = body.bodyWidthMm / 2;
  // Cut across the core, a pile end stands out by half of what was cut, at most to the yarn's own width.
  const length = Math.min(0.5 * (shortest + longest), radius * (1 - PILE_CORE));
  const fibre = diameterOf(record);
  const fibreTex = (Math.PI / 4) * fibre * fibre * record.fibreDensityGPerCm3 * 1000;
  const fibres = (PILE_MASS_SHARE * record.tex) / fibreTex;
  return {
    perMm: fibres / length / LOCK_FIBRES,
    meanLengthMm: length,
    longestMm: 1.2 * length,
    evenness: 1,
    diameterMm: fibre * Math.sqrt(LOCK_FIBRES / LOCK_PACKING),
    taper: 0.7,
    leanMeanRad: 0.3,
    heightMm: 1.2 * length,
    coreShare: PILE_CORE,
    pressed: true,
    provenance: {
      perMm: 'from the mass of the pile, locks of 24 fibres (estimate)',
      meanLengthMm: 'from the yarn’s width (computed) and a core of 0.45 of it (from memory)',
      diameterMm: 'from the fibre and a lock’s packing (estimate)',
      leanMeanRad: 'estimate',
    },
  };
}

/** Hair of several yarns wound together: the hairiest one’s, by length of hair a mm of thread. */
export function hairOfStrands(records: readonly YarnRecord[]): YarnHair | undefined {
  let most: YarnHair | undefined;
  for (const record of records) {
    const hair = yarnHair(record);
    if (hair && (!most || hair.perMm * hair.meanLengthMm > most.perMm * most.meanLengthMm)) most = hair;
  }
  return most;
}
