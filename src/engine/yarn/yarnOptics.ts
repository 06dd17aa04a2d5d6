import type { Radians } from '#engine/units/units.ts';
import { fibreIndices, meanIndex, opticalFibre } from './fibreIndices.ts';
import { isMercerised } from './fibres.ts';
import { facetOptics } from './filmOptics.ts';
import { yarnBody } from './yarnBody.ts';
import { type Lustre, type YarnRecord, yarnFactsOf } from './yarnRecord.ts';

/** Fibres side by side; metal under lacquer or bare; clear film or line. */
export type SurfaceKind = 'fibre' | 'metal' | 'clear';

/** How a yarn's surface takes light. Colour is apart from it. Fields that the kind has no use for are 0. */
export interface YarnOptics {
  readonly surface: SurfaceKind;
  /** Refractive index of fibre, lacquer (1: bare metal) or film. */
  readonly eta: number;
  /** Standard deviations γs, γv of the surface and volume lobes in θh: fibres only. */
  readonly surfaceWidthRad: Radians;
  readonly volumeWidthRad: Radians;
  /** kd, 0..1: light that fibres scatter every way (pigment, delustrant, crimp). */
  readonly isotropy: number;
  /** 1 loose bed of fibres … 3.4 fibres packed side by side: how much of their first surface shows. */
  readonly exposure: number;
  /** GGX α of film and metal. */
  readonly roughness: number;
  /** Of the metal itself at normal incidence, 0..1. */
  readonly metalReflectance: number;
  /** Share of the light scattered within that leaves on the far side, 0..1: thin cloth strips. */
  readonly throughShare: number;
  /** Surface fibres (or a wrapped film) against the yarn's axis, positive in Z twist. */
  readonly fibreAngleRad: Radians;
  /** How much of their fibres' roundness shows in a yarn of fibres, 0 smooth … 1 as in carded cotton; absent: 1. */
  readonly fibreRelief?: number;
  /** Facets of film: standard deviation of their lean, and length along the thread. */
  readonly facetTiltRad: Radians;
  readonly facetLengthMm: number;
  /** Period of an embossed grating ruled across the strip; 0: none. */
  readonly gratingPitchUm: number;
  /** How far apart the patches of an embossed film lie, each with a ruling of its own; 0 or absent: one ruling. */
  readonly gratingPatchMm?: number;
  /** Where each number comes from: 'published preset', 'handbook', 'estimate'. */
  readonly provenance: Readonly<Record<string, string>>;
}

export const DEGREE = Math.PI / 180;
/** Wider, and the volume lobe is as flat as it gets. */
const WIDEST_VOLUME_RAD = 60 * DEGREE;
/**
 * Share of the surface angle by which twist widens a lobe: silk crêpe, flat 5° and twisted 18° (Sadeghi et al. 2013,
 * Table II), the twisted at about 38° (from memory of crêpe twist).
 */
const TWIST_WIDENS = 0.45;
/** Fibres of a plied yarn lie nearly along it: half the ply's outer angle is left of their spread (estimate). */
const PLY_WIDENS = 0.5;
/** Fibres of woollen-spun, looped, brushed and unspun yarns stray this much more than combed ones (estimate). */
const STRAY_RAD = 12 * DEGREE;

/** Of the variance of a lobe without twist, what is each fibre's own (estimate; the rest is their straying, shaders/yarn/plies.glsl). */
const OWN_VARIANCE = 0.4;

/**
 * Fibres that stray from one another climb over one another too: carded cotton's width is the one that its relief is drawn for,
 * and long straight fibres, which lie side by side, stand as much less above one another as they stray less (estimate).
 */
const STRAY_OF_COTTON_RAD = 18 * DEGREE;

/** Bare numbers of a kind of fibre surface at no twist: γs in degrees, kd, exposure. */
interface Class {
  readonly widthDeg: number;
  readonly isotropy: number;
  readonly exposure: number;
  readonly source: string;
}

const published = 'published preset (Sadeghi et al. 2013, Table II)';
const estimate = 'estimate';
const filament: Readonly<Record<string, Class>> = {
  polyester: { widthDeg: 2.5, isotropy: 0.1, exposure: 3.4, source: published },
  nylon: { widthDeg: 3, isotropy: 0.1, exposure: 3.4, source: estimate },
  viscose: { widthDeg: 3.5, isotropy: 0.1, exposure: 3.4, source: estimate },
  acetate: { widthDeg: 3.5, isotropy: 0.1, exposure: 3.4, source: estimate },
  silk: { widthDeg: 5, isotropy: 0.2, exposure: 3.4, source: published },
};
const staple: Readonly<Record<string, Class>> = {
  mercerised: { widthDeg: 8, isotropy: 0.3, exposure: 2.6, source: estimate },
  cotton: { widthDeg: 18, isotropy: 0.6, exposure: 2, source: estimate },
  // 12° in cloth, of which twist makes about 9.
  linen: { widthDeg: 9, isotropy: 0.3, exposure: 2.2, source: published },
  jute: { widthDeg: 14, isotropy: 0.5, exposure: 2, source: estimate },
  paper: { widthDeg: 22, isotropy: 0.7, exposure: 2, source: estimate },
  wool: { widthDeg: 14, isotropy: 0.45, exposure: 2, source: estimate },
  // Scales lie flatter (0.1–3.6° against 0.2–8.6°) and half as many: a tighter lobe.
  mohair: { widthDeg: 8, isotropy: 0.3, exposure: 2.2, source: estimate },
  viscose: { widthDeg: 8, isotropy: 0.3, exposure: 2.6, source: estimate },
  silk: { widthDeg: 7, isotropy: 0.25, exposure: 2.6, source: estimate },
  acrylic: { widthDeg: 12, isotropy: 0.45, exposure: 2, source: estimate },
  polyester: { widthDeg: 8, isotropy: 0.3, exposure: 2.6, source: estimate },
  nylon: { widthDeg: 8, isotropy: 0.3, exposure: 2.6, source: estimate },
  // Threads both ways, seen together.
  cloth: { widthDeg: 30, isotropy: 0.7, exposure: 2, source: estimate },
};

function classOf(record: YarnRecord, fibre: string): Class {
  const text = `${record.fibre} ${record.name}`;
  if (isFilament(record, text) && filament[fibre]) return filament[fibre];
  if (isMercerised(text)) return staple.mercerised;
  if (/paper|card/i.test(text)) return staple.paper;
  if (/jute|sisal|coir/i.test(text)) return staple.jute;
  if (/mohair|alpaca/i.test(text)) return staple.mohair;
  if (record.shape === 'strip' && /cloth|jersey|denim|felt|net|tulle|knit/i.test(text)) return staple.cloth;
  return staple[fibre] ?? staple.cotton;
}

function isFilament(record: YarnRecord, text: string): boolean {
  if (/filament|satin|ribbon|organza|covered|silk-steel|stainless steel/i.test(text)) return true;
  return record.lustre === 'bright' && record.hairiness !== 'pile';
}

/** Loosely held fibres: how far they stray from their neighbours. */
function strays(record: YarnRecord): boolean {
  if (record.hairiness === 'loops' || record.hairiness === 'halo' || record.hairiness === 'pile') return true;
  return record.hairiness === 'high' && record.shape === 'round';
}

/** Angle of the fibres that show to the yarn's axis: a single's twist; fibres of balanced plies lie along the yarn. */
function fibreAngle(record: YarnRecord, twistRad: Radians): Radians {
  if (record.plies > 1 || record.shape === 'strip') return 0;
  return record.twistDirection === 'Z' ? twistRad : -twistRad;
}

/**
 * Optical numbers of a yarn by a rule from its facts: fibre, filament or staple, twist, mercerised, delustred, strip.
 * Widths are good to about a third where estimated; `provenance` says which.
 * @throws RangeError on facts that no yarn can have (see `yarnBody`)
 */
export function yarnOptics(record: YarnRecord): YarnOptics {
  const twistRad = yarnBody(yarnFactsOf(record)).twistAngleRad;
  const facets = facetOptics(record, twistRad);
  if (facets) return facets;
  const fibre = opticalFibre(`${record.fibre} ${record.name}`);
  const kind = classOf(record, fibre ?? 'cotton');
  const delustred = kind.exposure > 3 && record.lustre === 'matte';
  const twistSpread = TWIST_WIDENS * twistRad * (record.plies > 1 ? PLY_WIDENS : 1);
  const stray = strays(record) ? STRAY_RAD : 0;
  const strayed = Math.hypot(kind.widthDeg * DEGREE, stray);
  const width = Math.hypot(kind.widthDeg * DEGREE * (delustred ? 2 : 1), twistSpread, stray);
  const thin = record.shape === 'strip' && (record.gaugeMm ?? 1) < 0.15;
  return {
    surface: 'fibre',
    eta: fibre ? meanIndex(fibreIndices[fibre]) : 1.54,
    surfaceWidthRad: width,
    volumeWidthRad: Math.min(WIDEST_VOLUME_RAD, 2 * width),
    isotropy: delustred ? 0.6 : kind.isotropy,
    exposure: stray > 0 ? Math.min(kind.exposure, 1.6) : kind.exposure,
    roughness: 0,
    metalReflectance: 0,
    throughShare: thin ? 0.35 : 0,
    fibreAngleRad: fibreAngle(record, twistRad),
    fibreRelief: Math.min(1, strayed / STRAY_OF_COTTON_RAD),
    facetTiltRad: 0,
    facetLengthMm: 0,
    gratingPitchUm: 0,
    provenance: {
      eta: fibre ? 'handbook (Morton & Hearle 2008, from memory)' : estimate,
      surfaceWidthRad:
        twistSpread > 0 || stray > 0 ? `${kind.source}, widened by twist and stray (estimate)` : kind.source,
      volumeWidthRad: `${kind.source === published ? published : estimate}: twice the surface lobe`,
      isotropy: kind.source,
      exposure: estimate,
      fibreRelief: 'the surface lobe without twist over carded cotton’s (estimate)',
      throughShare: estimate,
    },
  };
}

/**
 * As `yarnOptics`, of a fibre that stands off its yarn by itself: which way it lies is drawn, so of the lobe neither its yarn's twist
 * nor the straying of many from one another is left.
 */
export function looseFibreOptics(record: YarnRecord): YarnOptics {
  const lying = yarnOptics(record);
  if (lying.surface !== 'fibre') return lying;
  const { widthDeg } = classOf(record, opticalFibre(`${record.fibre} ${record.name}`) ?? 'cotton');
  const width = Math.sqrt(OWN_VARIANCE) * widthDeg * DEGREE;
  return {
    ...lying,
    surfaceWidthRad: width,
    volumeWidthRad: Math.min(WIDEST_VOLUME_RAD, 2 * width),
    provenance: {
      ...lying.provenance,
      surfaceWidthRad: 'two fifths of the variance of those lying together (estimate)',
    },
  };
}

/**
 * Optical numbers of another face of a yarn (a strip's back, pile's core, paint) whose lustre is known: as `yarnOptics`,
 * without what the yarn's name says of its shiny side.
 */
export function faceOptics(record: YarnRecord, lustre: Lustre): YarnOptics {
  const { hairiness: _, ...face } = record;
  const plain = (text: string): string => text.replace(/satin|ribbon|filament|holographic|film/gi, '');
  return yarnOptics({ ...face, name: plain(record.name), fibre: plain(record.fibre), lustre });
}
