import type { Reading } from '#engine/units/reading.ts';

export type ClothSide = 'face' | 'back';

/** A place on the cloth as the weaver counts: 1 is the middle of end or pick 1, between threads in decimals. */
export interface ClothPlace {
  readonly end: number;
  readonly pick: number;
}

/** Ends and picks from 1, both included; what is left out reaches to the cloth's own edge. */
export interface ClothPart {
  readonly fromEnd?: number;
  readonly toEnd?: number;
  readonly fromPick?: number;
  readonly toPick?: number;
}

/** Floats of `atLeast` crossings or more on one side, cut at both ends and taken away. */
export interface ClipFloats {
  readonly kind: 'clip';
  readonly side: ClothSide;
  readonly threads: 'warp' | 'weft' | 'both';
  readonly atLeast: number;
  /** What is left standing at either end, mm; by itself 1.5 of the thread's widths. */
  readonly leaveMm?: number;
  readonly part?: ClothPart;
}

/** A blade along a line: through floats, through the threads of the layer on one side, or through all. */
export interface CutAlongLine {
  readonly kind: 'cut';
  readonly line: readonly ClothPlace[];
  readonly closed?: boolean;
  readonly what: 'floats' | 'layer' | 'through';
  /** Of floats and layer; the face by itself. */
  readonly side?: ClothSide;
  /** Of floats: crossings passed over at least; 2 by itself. */
  readonly atLeast?: number;
  /** Of a layer and through: threads that run along the edge come out so far from it, mm; 1 by itself. */
  readonly frayMm?: number;
  /** Of a cut through: what stays. */
  readonly keep?: 'inside' | 'outside' | 'left' | 'right';
}

/** A weft with wire in it, bent by hand at one place off the loom: it stands out of the cloth there, and keeps the bend. */
export interface BendByHand {
  readonly kind: 'bend';
  /** From 1; every weft with wire from there to `toPick` is bent alike. */
  readonly pick: number;
  readonly toPick?: number;
  /** From 1, between ends in decimals. */
  readonly end: number;
  /** By which it turns, once the hand has let go. */
  readonly angleDegrees: number;
  /** Of the yarn's middle. */
  readonly radiusMm: number;
  readonly side: ClothSide;
}

/** What came of one bend. */
export interface BendReport {
  readonly wefts: number;
  /** How far the highest stands out of the cloth's plane there. */
  readonly heightMm: number;
  /** The angle to which a hand bends it: it springs back from there. */
  readonly bendToDegrees: number;
  /** By which the weft's two ends come nearer to one another. */
  readonly drawnInMm: number;
  /** How far before and after it the cloth comes away from the table. */
  readonly carriesMm: number;
  readonly nothing?: 'onLoom' | 'offTheCloth' | 'noWire' | 'tooTight' | 'tooSteep';
  /** Of a bend too tight: the tightest that the yarn takes. */
  readonly leastRadiusMm?: number;
}

export type Cutting = ClipFloats | CutAlongLine;

/** What came of one clipping or cut. */
export interface CutReport {
  /** Places at which a thread was cut. */
  readonly cuts: number;
  /** Pieces of thread that fray off the edge, or are held by so few crossings that they fall out; they are drawn gone. */
  readonly fallen: number;
  /** Pieces that stay but are held by few crossings: they slip as the cloth is handled. */
  readonly loose: number;
  /** Of the cloth's weight, what is gone, 0..1: cut away and fallen out. */
  readonly goneShare: number;
  /** Why nothing was cut, where nothing was. */
  readonly nothing?: 'noFloats' | 'oneLayer' | 'offTheCloth' | 'nothingLeft';
}

/** The cloth after all cutting. */
export interface CutResult {
  /** One a cutting, in order. */
  readonly reports: readonly CutReport[];
  /** Width and length of what is left, mm, where a cut through changed them. */
  readonly piece?: { readonly widthMm: number; readonly lengthMm: number };
  readonly weightGPerM2: Reading;
}
