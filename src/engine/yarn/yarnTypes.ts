import type {
  GramsPerCubicCentimetre,
  Millimetres,
  NewtonSquareMillimetres,
  Tex,
  TurnsPerMetre,
} from '#engine/units/units.ts';

import type { YarnFinishing } from './finishing.ts';
import type { YarnGrip } from './grip.ts';
import type { BendableCore } from './handBend.ts';

/** How readily a yarn gives where another presses on it; sets packing limits and how far body exceeds contact width. */
export type Compressibility = 'none' | 'low' | 'medium' | 'high';

/** Thick places made on purpose: how many times the yarn's width, how long, how far apart. Ranges are [least, most]. */
export interface Slubs {
  readonly timesWidth: readonly [number, number];
  readonly lengthMm: readonly [Millimetres, Millimetres];
  readonly everyMm: readonly [Millimetres, Millimetres];
}

/** How a yarn's width varies along it. */
export interface YarnUnevenness {
  /** Standard deviation of the width over its mean. */
  readonly widthCv: number;
  /** From a thick place to the next thin one. */
  readonly halfWaveMm: Millimetres;
  readonly slubs?: Slubs;
}

/** What is known of a yarn or strip: the facts a designer or a preset gives. Ranges are [least, most]. */
export interface YarnFacts {
  readonly id: string;
  readonly name: string;
  readonly fibre: string;
  readonly tex: Tex;
  readonly plies: number;
  readonly fibreDensityGPerCm3: GramsPerCubicCentimetre;
  /** Share of the contact section that is fibre, 0..1. */
  readonly packingFraction: number;
  readonly shape: 'round' | 'strip';
  /** Strips only: width laid flat, and thickness. */
  readonly stripWidthMm?: Millimetres;
  readonly gaugeMm?: Millimetres;
  /** A stiff strip that the beat has tipped up (`beatenStrip`). */
  readonly onEdge?: boolean;
  /** Measured widths, where known; else computed from tex and packing. */
  readonly contactWidthMm?: Millimetres;
  readonly freeWidthMm?: Millimetres;
  readonly bendingNmm2: readonly [NewtonSquareMillimetres, NewtonSquareMillimetres];
  readonly twistTurnsPerM?: readonly [TurnsPerMetre, TurnsPerMetre];
  readonly twistDirection?: 'S' | 'Z';
  readonly compressibility: Compressibility;
  readonly slubs?: Slubs;
  /** Cut pile held by a thin twisted core, as in chenille. */
  readonly pile?: boolean;
  /** How much the yarn itself shortens in a gentle wash, %. */
  readonly lengthShrinkPercent?: readonly [number, number];
  /** How much longer than at rest it is laid into the shed, %; of elastic yarns a half where left out, of others nothing. */
  readonly laidStretchPercent?: number;
}

/**
 * A yarn as mechanics and picture need it. Widths lie in the cloth plane, heights across it.
 * free: pile and halo included; body: the visible float, where nothing presses; contact: crushed at a crossing.
 */
export interface YarnBody {
  readonly id: string;
  readonly tex: Tex;
  readonly shape: 'round' | 'strip';
  readonly plies: number;
  readonly freeWidthMm: Millimetres;
  readonly bodyWidthMm: Millimetres;
  readonly bodyHeightMm: Millimetres;
  readonly contactWidthMm: Millimetres;
  readonly contactHeightMm: Millimetres;
  /** Most likely bending stiffness (geometric mean of the range) and the range itself. */
  readonly bendingNmm2: NewtonSquareMillimetres;
  readonly bendingRangeNmm2: readonly [NewtonSquareMillimetres, NewtonSquareMillimetres];
  /** Force (N) that presses one crossing from its contact height by the height itself, were the law linear at rest. */
  readonly contactStiffnessN: number;
  /** Share of the contact section that is fibre; 0.6, as of a spun yarn, where left out. */
  readonly contactPacking?: number;
  readonly twistAngleRad: number;
  readonly twistTurnsPerM: TurnsPerMetre;
  readonly twistDirection: 'S' | 'Z';
  /** What it does off the loom and in water; left out where nothing is known: it keeps its length and width. */
  readonly finishing?: YarnFinishing;
  /** Share of its curvature in the cloth that finishing has made its shape at rest, 0..1; left out before any finish. */
  readonly setShare?: number;
  /** How it keeps its place in the cloth; left out where nothing is known of it. */
  readonly grip?: YarnGrip;
  /** Fibre laid as it is, neither spun nor felted. */
  readonly looseFibre?: boolean;
  /** Left out where nothing in it stays as a hand bends it. */
  readonly bends?: BendableCore;
  /** Left out where the yarn is even. */
  readonly unevenness?: YarnUnevenness;
  /** Ids of the yarns lying together in one shed or one heald; one entry for an ordinary yarn. */
  readonly strands: readonly string[];
}
