import type { ColourRepeat } from './colourRepeat.ts';
import type {
  ColourShare,
  Glitter,
  PaintPatches,
  PileCore,
  StripBack,
  StripMesh,
  StripPrint,
  SurfaceMake,
} from './yarnSurface.ts';
import type { Slubs, YarnFacts } from './yarnTypes.ts';

/** How the surface takes light, in the words of a sample card; scattering parameters are derived from it elsewhere. */
export type Lustre = 'matte' | 'satin' | 'bright' | 'metal' | 'film' | 'hologram' | 'clear';

/** Fuzz of the yarn as laid, before finishing. */
export type Hairiness = 'none' | 'low' | 'medium' | 'high' | 'halo' | 'pile' | 'loops' | 'frayed edge';

/** [least, most] of single figures of a record. */
export interface YarnRanges {
  readonly tex?: readonly [number, number];
  readonly packingFraction?: readonly [number, number];
  readonly contactWidthMm?: readonly [number, number];
  readonly freeWidthMm?: readonly [number, number];
  readonly stripWidthMm?: readonly [number, number];
  readonly gaugeMm?: readonly [number, number];
}

/** One of the two, or both where both were found out. */
export interface YarnLeft {
  readonly grams?: number;
  readonly metres?: number;
}

/**
 * A yarn as files and the document hold it (`presets/yarns/*.json`). Ranges are [least, most]. Plain data only.
 * `packingFraction` is that of the contact section; `contactWidthMm` and `freeWidthMm` are measured or observed widths
 * and stand only where they are not what tex and packing give.
 */
export interface YarnRecord {
  readonly format: 'forecloth-yarn';
  /** Files are brought to 3 as they are read; what is computed from a record is the same for all. */
  readonly version: 1 | 2 | 3;
  readonly id: string;
  readonly name: string;
  readonly fibre: string;
  /** As a label prints it ("Ne 8/2"); the number that counts is `tex`. */
  readonly count?: string;
  readonly tex: number;
  readonly plies: number;
  readonly shape: 'round' | 'strip';
  readonly stripWidthMm?: number;
  readonly gaugeMm?: number;
  readonly packingFraction: number;
  readonly fibreDensityGPerCm3: number;
  readonly contactWidthMm?: number;
  readonly freeWidthMm?: number;
  readonly bendingNmm2: readonly [number, number];
  readonly twistTurnsPerM?: readonly [number, number];
  readonly twistDirection?: 'S' | 'Z';
  readonly compressibility: 'none' | 'low' | 'medium' | 'high';
  readonly lustre?: Lustre;
  /** Colour of a wound cone in diffuse light, '#rrggbb'. */
  readonly coneColour: string;
  /** Colours that come again along it; `coneColour` is then their mean. */
  readonly colourRepeat?: ColourRepeat;
  /** Colours of its plies, in turn; `coneColour` is then their mean. */
  readonly plyColours?: readonly string[];
  /** Fibres of several colours spun together; `coneColour` is then their mean. */
  readonly blend?: readonly ColourShare[];
  /** On the face of a strip; `coneColour` is then its mean. */
  readonly print?: StripPrint;
  readonly make?: SurfaceMake;
  readonly mesh?: StripMesh;
  readonly back?: StripBack;
  readonly core?: PileCore;
  readonly glitter?: Glitter;
  readonly paint?: PaintPatches;
  readonly hairiness?: Hairiness;
  readonly hairLengthMm?: readonly [number, number];
  /** How much the yarn itself shortens in a gentle wash, %. */
  readonly lengthShrinkPercent?: readonly [number, number];
  /** How much longer than at rest it is laid into the shed, %; of elastic yarns a half where left out, of others nothing. */
  readonly laidStretchPercent?: number;
  readonly slubs?: Slubs;
  /** What a measured figure may be for all that its reading leaves open; only of yarns that were measured. */
  readonly ranges?: YarnRanges;
  /** How much of it is on the shelf, as it was weighed or measured last. */
  readonly left?: YarnLeft;
  readonly cautions?: string;
  /** Where each field comes from: read, computed, common practice or from memory. */
  readonly provenance?: Readonly<Record<string, string>>;
  readonly sources?: readonly string[];
}

/** What mechanics needs of a record; fields that only the picture or the reader uses stay behind. */
export function yarnFactsOf(record: YarnRecord): YarnFacts {
  return {
    id: record.id,
    name: record.name,
    fibre: record.fibre,
    tex: record.tex,
    plies: record.plies,
    fibreDensityGPerCm3: record.fibreDensityGPerCm3,
    packingFraction: record.packingFraction,
    shape: record.shape,
    stripWidthMm: record.stripWidthMm,
    gaugeMm: record.gaugeMm,
    contactWidthMm: record.contactWidthMm,
    freeWidthMm: record.freeWidthMm,
    bendingNmm2: record.bendingNmm2,
    twistTurnsPerM: record.twistTurnsPerM,
    twistDirection: record.twistDirection,
    compressibility: record.compressibility,
    slubs: record.slubs,
    ...(record.hairiness === 'pile' ? { pile: true } : {}),
    lengthShrinkPercent: record.lengthShrinkPercent,
    laidStretchPercent: record.laidStretchPercent,
  };
}
