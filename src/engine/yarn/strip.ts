import type { Millimetres } from '#engine/units/units.ts';
import { fibreAreaMm2 } from './diameter.ts';
import { sectionHeightMm } from './section.ts';
import type { YarnFacts } from './yarnTypes.ts';

/** Narrower than this share of its flat width, a strip counts as folded. Cutting and laying vary by about as much. */
const FLAT_SHARE = 0.97;

function flatWidth(facts: YarnFacts): Millimetres {
  const width = facts.stripWidthMm;
  if (width === undefined || !(width > 0)) {
    throw new RangeError(`yarn ${facts.id} is a strip without a width: give stripWidthMm`);
  }
  return width;
}

function gaugeMm(facts: YarnFacts): Millimetres {
  return facts.gaugeMm ?? fibreAreaMm2(facts.tex, facts.fibreDensityGPerCm3) / flatWidth(facts);
}

/** Area that the strip takes up at its packing once folded: fibre area over φ. */
function foldedAreaMm2(facts: YarnFacts): number {
  return fibreAreaMm2(facts.tex, facts.fibreDensityGPerCm3) / facts.packingFraction;
}

/**
 * Section of a strip laid `widthMm` wide: its gauge while flat; folded or crumpled, a race-track (upright ellipse where
 * squeezed) of the area its mass takes at its packing, A = T / (1000 ρ φ). Never thinner than the gauge; on edge, as high as
 * it was cut wide.
 */
export function stripHeightMm(facts: YarnFacts, widthMm: Millimetres): Millimetres {
  const flat = flatWidth(facts);
  if (facts.onEdge) return flat;
  const gauge = gaugeMm(facts);
  if (widthMm >= FLAT_SHARE * flat) return gauge;
  return Math.max(gauge, sectionHeightMm(foldedAreaMm2(facts), widthMm));
}

/** What a strip has against it as the beat drives it home. */
export interface StripPress {
  /** Resistance that the beat overcomes, N per cm of cloth width. */
  readonly pushNPerCm: number;
  /** The same of a fairly firm beat, at which cards tell widths in the cloth. */
  readonly firmNPerCm: number;
  /** The ends over and under it: their tension, N per cm of cloth width, and height; where left out it never stands on edge. */
  readonly warp?: { readonly tensionNPerCm: number; readonly endHeightMm: Millimetres };
}

/** How a strip lies in its shed. */
export interface StripLay {
  readonly lies: 'flat' | 'folded' | 'rolled' | 'standing';
  /** Thicknesses of it that lie over one another, about. */
  readonly layers: number;
  readonly widthMm: Millimetres;
  readonly heightMm: Millimetres;
}

/** Hardly wider than its roll, folds can no longer be told from crumples. */
const ROLL_SHARE = 1.15;

/**
 * Folds are so many times wider than the strut's law has them: geometric mean over the eight preset strips that lie folded,
 * neither flat nor rolled, at the width their card has seen; each within a factor of five (0.5 to 6.5).
 */
export const FOLD_OVER_STRUT = 2.2;

/** Stiffness that no card gives more closely: the likeliest of its range, N mm². */
function bendingNmm2({ bendingNmm2: [least, most] }: YarnFacts): number {
  return Math.sqrt(least * most);
}

function rollMm(facts: YarnFacts): Millimetres {
  return Math.min(flatWidth(facts), Math.sqrt((4 * foldedAreaMm2(facts)) / Math.PI));
}

/**
 * Width of the folds that an edgewise push makes of a sheet: a strut clamped at both ends, b = 2π√(D/P), D its stiffness across
 * (N mm, here the strip's own over its width: woven cloth is about as stiff both ways) and P the push (L. Euler 1744).
 */
export function strutFoldMm(facts: YarnFacts, pushNPerCm: number): Millimetres {
  return 2 * Math.PI * Math.sqrt(bendingNmm2(facts) / flatWidth(facts) / (pushNPerCm / 10));
}

/** Width of a soft strip in the cloth at a fairly firm beat: as its card tells, else by its width and stiffness, so by its gauge. */
function firmWidthMm(facts: YarnFacts, firmNPerCm: number): Millimetres {
  if (facts.contactWidthMm !== undefined) return facts.contactWidthMm;
  return Math.min(flatWidth(facts), Math.max(rollMm(facts), FOLD_OVER_STRUT * strutFoldMm(facts, firmNPerCm)));
}

/**
 * Push from which a flat, stiff strip no longer stays flat, N per cm of cloth width: nT (1 + b g²/(g² + h²)^{3/2}).
 *
 * Strips of width b, alike and tilted alike by θ, give the push nearness, bθ²/2 a pick; the ends between them, of tension nT
 * per cm, have to be longer by as much and by the steps bθ ± h that they take in the gap g from one strip's face to the next's
 * back, h the height of strip and end together. Second order in θ, no friction; the gap taken as an end's height. A thin one
 * arches first, as a plate hinged at its edges does, π²D/b² (Euler), and springs back: then infinite.
 */
export function tippingPushNPerCm(facts: YarnFacts, warp: NonNullable<StripPress['warp']>): number {
  const flat = flatWidth(facts);
  const gapMm = warp.endHeightMm;
  const stepMm = gaugeMm(facts) + warp.endHeightMm;
  const push = warp.tensionNPerCm * (1 + (flat * gapMm ** 2) / (gapMm ** 2 + stepMm ** 2) ** 1.5);
  const archesNPerCm = (10 * Math.PI ** 2 * bendingNmm2(facts)) / flat ** 3;
  return push < archesNPerCm ? push : Number.POSITIVE_INFINITY;
}

/** On edge it is cut width high, and as much stiffer up and down as a rectangle's two ways: (b/t)². */
function standing(facts: YarnFacts): YarnFacts {
  const gauge = gaugeMm(facts);
  const stiffer = (flatWidth(facts) / gauge) ** 2;
  const [least, most] = facts.bendingNmm2;
  return {
    ...facts,
    onEdge: true,
    contactWidthMm: gauge,
    freeWidthMm: gauge,
    bendingNmm2: [stiffer * least, stiffer * most],
  };
}

/**
 * A strip as the beat leaves it. A soft one is pushed edgewise into folds, whose width goes as 1/√push ({@link strutFoldMm}) from
 * that at a fairly firm beat, never narrower than its roll nor wider than it was cut; a stiff one stays flat, or tips on edge
 * ({@link tippingPushNPerCm}). Other yarns unchanged. Widths of rag wefts scatter by a factor of two (rug setts).
 */
export function beatenStrip(facts: YarnFacts, { pushNPerCm, firmNPerCm, warp }: StripPress): YarnFacts {
  if (facts.shape !== 'strip') return facts;
  if (facts.compressibility === 'none') {
    return warp && pushNPerCm > tippingPushNPerCm(facts, warp) ? standing(facts) : facts;
  }
  const firmMm = firmWidthMm(facts, firmNPerCm);
  const least = Math.min(firmMm, rollMm(facts));
  const contactWidthMm = Math.min(flatWidth(facts), Math.max(least, firmMm / Math.sqrt(pushNPerCm / firmNPerCm)));
  // What its card says to lie flat has been seen to.
  if (firmMm >= FLAT_SHARE * flatWidth(facts) || contactWidthMm === facts.contactWidthMm) return facts;
  const { freeWidthMm } = facts;
  return {
    ...facts,
    contactWidthMm,
    ...(freeWidthMm === undefined ? {} : { freeWidthMm: Math.max(freeWidthMm, contactWidthMm) }),
  };
}

/** How a strip lies that is so wide in the cloth: a stiff one is narrower than it was cut on edge alone. */
export function stripLay(facts: YarnFacts, widthMm = facts.contactWidthMm ?? flatWidth(facts)): StripLay {
  const flatMm = flatWidth(facts);
  const flat = widthMm >= FLAT_SHARE * flatMm;
  if (facts.compressibility === 'none' && !flat) return { lies: 'standing', layers: 1, widthMm, heightMm: flatMm };
  const lies = flat ? 'flat' : widthMm <= ROLL_SHARE * rollMm(facts) ? 'rolled' : 'folded';
  return { lies, layers: Math.max(1, flatMm / widthMm), widthMm, heightMm: stripHeightMm(facts, widthMm) };
}
