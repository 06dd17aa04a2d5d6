import type { Radians } from '#engine/units/units.ts';
import { fibreIndices, meanIndex, opticalFibre } from './fibreIndices.ts';
import type { YarnOptics } from './yarnOptics.ts';
import type { YarnRecord } from './yarnRecord.ts';

const RAD_PER_DEGREE = Math.PI / 180;
/** Common lacquers (acrylic, nitrocellulose, polyurethane): 1.49–1.52, from memory. */
export const LACQUER_INDEX = 1.5;
/**
 * Evaporated aluminium met from within lacquer: n, k at 550 nm of A. D. Rakić 1995 (Appl. Opt. 34, 4755) over the
 * lacquer's index. The three channels lie within 0.015 of it.
 */
export const ALUMINIUM_IN_LACQUER = 0.879;

/** Bare metals at normal incidence, brightest channel (handbooks, from memory); colour comes with `coneColour`. */
const bareMetals: readonly (readonly [RegExp, number])[] = [
  [/silver/i, 0.96],
  [/steel/i, 0.58],
  [/copper/i, 0.93],
];

interface Facets {
  readonly roughness: number;
  readonly tiltDeg: number;
  readonly lengthMm: number;
}
/** Film laid flat takes a slight twist in the shed; wound round a core it lies in short turns and is bent both ways. */
const flatFilm: Facets = { roughness: 0.08, tiltDeg: 4, lengthMm: 3 };
const supportedFilm: Facets = { roughness: 0.12, tiltDeg: 6, lengthMm: 1.5 };
const wrappedFilm: Facets = { roughness: 0.2, tiltDeg: 9, lengthMm: 0.5 };
const drawnWire: Facets = { roughness: 0.15, tiltDeg: 0, lengthMm: 0 };
/** Embossed film is smooth, or its colours would run together. */
const holographicFilm: Facets = { roughness: 0.03, tiltDeg: 4, lengthMm: 3 };
/** Diffraction foils of the trade: 1000 lines a mm, some half of that (from memory). */
const EMBOSSED_PITCH_UM = 1;
/** Patches of one ruling: from glitter of 0.3 mm to shards of 5 mm (common practice). */
const EMBOSSED_PATCH_MM = 1.5;
const stretchFilm: Facets = { roughness: 0.25, tiltDeg: 5, lengthMm: 2 };

function facetsOf(record: YarnRecord): Facets {
  if (record.lustre === 'metal') return drawnWire;
  if (record.lustre === 'hologram') return holographicFilm;
  if (/stretch|elast/i.test(`${record.fibre} ${record.name}`)) return stretchFilm;
  if (record.shape === 'round') return wrappedFilm;
  return /support|nylon/i.test(`${record.fibre} ${record.name}`) ? supportedFilm : flatFilm;
}

/** Numbers of film, wire and clear stuff, by the record's `lustre`; undefined for a yarn whose surface is fibres. */
export function facetOptics(record: YarnRecord, twistRad: Radians): YarnOptics | undefined {
  const { lustre } = record;
  const bare = {
    surfaceWidthRad: 0,
    volumeWidthRad: 0,
    isotropy: 0,
    exposure: 0,
    throughShare: 0,
    fibreAngleRad: 0,
    gratingPitchUm: 0,
  };
  if (lustre === 'clear') {
    const fibre = opticalFibre(`${record.fibre} ${record.name}`);
    return {
      ...bare,
      surface: 'clear',
      eta: fibre ? meanIndex(fibreIndices[fibre]) : LACQUER_INDEX,
      roughness: record.shape === 'strip' ? 0.15 : 0.05,
      metalReflectance: 0,
      facetTiltRad: (record.shape === 'strip' ? 6 : 0) * RAD_PER_DEGREE,
      facetLengthMm: record.shape === 'strip' ? 4 : 0,
      provenance: {
        eta: fibre ? 'handbook (from memory)' : 'estimate',
        roughness: 'estimate',
        facetTiltRad: 'estimate',
      },
    };
  }
  if (lustre !== 'film' && lustre !== 'metal' && lustre !== 'hologram') return undefined;
  const facets = facetsOf(record);
  const metal = bareMetals.find(([words]) => words.test(`${record.fibre} ${record.name}`));
  const wire = lustre === 'metal';
  return {
    ...bare,
    surface: 'metal',
    eta: wire ? 1 : LACQUER_INDEX,
    roughness: facets.roughness,
    metalReflectance: wire ? (metal?.[1] ?? 0.7) : ALUMINIUM_IN_LACQUER,
    // A wound film's turns lie across the core: their length runs at the wrap's angle to the yarn.
    fibreAngleRad: record.shape === 'round' && !wire ? (record.twistDirection === 'Z' ? twistRad : -twistRad) : 0,
    facetTiltRad: facets.tiltDeg * RAD_PER_DEGREE,
    facetLengthMm: facets.lengthMm,
    gratingPitchUm: lustre === 'hologram' ? EMBOSSED_PITCH_UM : 0,
    ...(lustre === 'hologram' ? { gratingPatchMm: EMBOSSED_PATCH_MM } : {}),
    provenance: {
      eta: wire ? 'bare metal' : 'from memory',
      metalReflectance: wire ? 'handbook (from memory)' : 'computed from Rakić 1995',
      roughness: 'estimate',
      facetTiltRad: 'estimate',
    },
  };
}
