import type { LinearRgb } from '#engine/colour/colour.ts';
import type { Millimetres } from '#engine/units/units.ts';
import type { YarnOptics } from '#engine/yarn/yarnOptics.ts';
import type { SurfaceMake } from '#engine/yarn/yarnSurface.ts';

/** A surface's colour, as seen on the wound cone, and how it takes light. */
export interface FaceMaterial {
  readonly coneColour: LinearRgb;
  readonly optics: YarnOptics;
  /** Of fibres that stand by themselves, how they take light lying together as on the cone; absent: as they stand. */
  readonly lying?: YarnOptics;
}

/** A colour and where it begins: share of the girth's plies, of the fibres, of a print, or of the repeat; in order, the first at 0. */
export interface StrandColour {
  readonly from: number;
  readonly coneColour: LinearRgb;
}

/** Several colours in one yarn: its plies, its fibres, along it, or printed on it. */
export interface StrandColours {
  readonly of: 'plies' | 'fibres' | 'length' | 'print';
  readonly stops: readonly StrandColour[];
  /** Of the repeat along the yarn, and where in it the yarn begins. */
  readonly lengthMm?: Millimetres;
  readonly startMm?: Millimetres;
  /** Width of a print's motifs. */
  readonly motifMm?: Millimetres;
  /** How far a colour reaches into the next, either way. */
  readonly bleedMm?: Millimetres;
}

/** One of the yarns that lie together in a thread, as the picture needs it. */
export interface StrandMaterial extends FaceMaterial {
  readonly colours?: StrandColours;
  readonly make?: SurfaceMake;
  /** Of a strip whose other side differs. */
  readonly back?: FaceMaterial;
  /** How often a strip turns over as it lies, turns per mm; 0: it lies flat, face up. */
  readonly turnsOverPerMm?: number;
  /** Layers round a strip that lies folded. */
  readonly folds?: number;
  /** Of a strip's own cloth. */
  readonly thickMm?: Millimetres;
}

/** An open strip, crumpled: its layers lie over one another in the thread's section, about the yarns that it is wound with. */
export interface MeshMaterial {
  readonly shape: 'hexagon' | 'square';
  readonly pitchMm: Millimetres;
  readonly barMm: Millimetres;
  readonly layers: number;
  /** How often the layers sway about the thread's axis. */
  readonly turnsPerMm: number;
  /** What its bars are of, where the thread's strands are what lies within it; by default they are its own. */
  readonly bars?: StrandMaterial;
  /** Of the section's width and height, what those strands take in its middle; 0 by default. */
  readonly coreShare?: number;
  readonly glitter?: FaceMaterial & { readonly perMm2: number; readonly diameterMm: Millimetres };
  readonly paint?: FaceMaterial & { readonly share: number; readonly patchMm: Millimetres };
}
