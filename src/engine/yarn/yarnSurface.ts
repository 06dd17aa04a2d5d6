import type { Millimetres } from '#engine/units/units.ts';
import type { Lustre } from './yarnRecord.ts';

/** What a strip or cord is itself made of, as it stands in its surface. */
export type SurfaceKindOfMake = 'woven' | 'twill' | 'knitted' | 'felted' | 'braided' | 'leaf' | 'creased';

/** Threads, wales, tufts, braided strands or leaf fibres of a strip or cord: how far from one to the next. */
export interface SurfaceMake {
  readonly kind: SurfaceKindOfMake;
  readonly acrossMm: Millimetres;
  readonly alongMm: Millimetres;
}

/** Open fabric cut into strips: hexagons (net, tulle), or threads both ways (organza). */
export interface StripMesh {
  readonly shape: 'hexagon' | 'square';
  /** From one bar to the next that runs alongside it: a hexagon's width between flats. */
  readonly pitchMm: Millimetres;
  /** Share of a bar's section that is fibre; its thickness follows from the strip's mass. */
  readonly barPacking: number;
}

/** The other side of a strip. */
export interface StripBack {
  readonly coneColour: string;
  readonly lustre: Lustre;
}

/**
 * A pattern printed on a strip's face: motifs side by side, about as wide as told (so that whole ones go round) and twice as
 * long, each of one colour.
 */
export interface StripPrint {
  readonly motifMm: Millimetres;
  /** Of the face, what each colour covers; all together 1. */
  readonly colours: readonly ColourShare[];
}

/** What the pile is held by. */
export interface PileCore {
  readonly coneColour: string;
  readonly lustre: Lustre;
  readonly diameterMm: Millimetres;
}

/** One of the colours of fibres that are spun together, or of plies that are twisted together. */
export interface ColourShare {
  readonly colour: string;
  /** Of the fibres; all together 1. */
  readonly share: number;
}

/** Flakes of metallised film stuck on. */
export interface Glitter {
  readonly perCm2: number;
  readonly diameterMm: Millimetres;
  readonly coneColour: string;
}

/** Paint on part of an open strip: it fills the mesh. */
export interface PaintPatches {
  readonly colour: string;
  /** Of the strip's length that is painted. */
  readonly share: number;
  /** Mean length of a patch along the strip. */
  readonly patchMm: Millimetres;
}
