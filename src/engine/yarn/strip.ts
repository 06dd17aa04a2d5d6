import type { Millimetres } from '#engine/units/units.ts';
import { fibreAreaMm2 } from './diameter.ts';
import { sectionHeightMm } from './section.ts';
import type { YarnFacts } from './yarnTypes.ts';

export interface StripSection {
  widthMm: Millimetres;
  heightMm: Millimetres;
}

/** Narrower than this share of its flat width, a strip counts as folded. Cutting and laying vary by about as much. */
const FLAT_SHARE = 0.97;

function flatWidth(facts: YarnFacts): Millimetres {
  const width = facts.stripWidthMm;
  if (width === undefined || !(width > 0)) {
    throw new RangeError(`yarn ${facts.id} is a strip without a width: give stripWidthMm`);
  }
  return width;
}

/** Area that the strip takes up at its packing once folded: fibre area over φ. */
function foldedAreaMm2(facts: YarnFacts): number {
  return fibreAreaMm2(facts.tex, facts.fibreDensityGPerCm3) / facts.packingFraction;
}

/**
 * Section of a strip laid `widthMm` wide: its gauge while flat; folded or crumpled, a race-track (upright ellipse where
 * squeezed) of the area its mass takes at its packing, A = T / (1000 ρ φ). Never thinner than the gauge.
 */
export function stripHeightMm(facts: YarnFacts, widthMm: Millimetres): Millimetres {
  const flat = flatWidth(facts);
  const gauge = facts.gaugeMm ?? fibreAreaMm2(facts.tex, facts.fibreDensityGPerCm3) / flat;
  if (widthMm >= FLAT_SHARE * flat) return gauge;
  return Math.max(gauge, sectionHeightMm(foldedAreaMm2(facts), widthMm));
}

/**
 * The section that a strip takes where its neighbours leave it `pitchMm`, written to `out`.
 *
 * Flat where the pitch allows. Narrower, a soft strip folds to the pitch, down to the roll or crumple of its packing
 * (d = sqrt(4A/π)); a solid one (film, card: compressibility 'none') cannot fold and stays flat, overlapping.
 * Common practice; widths in cloth of rag wefts measured from rug setts scatter by a factor of two.
 */
export function stripSectionAtPitch(out: StripSection, facts: YarnFacts, pitchMm: Millimetres): StripSection {
  const flat = flatWidth(facts);
  let width = flat;
  if (facts.compressibility !== 'none') {
    const roll = Math.min(flat, Math.sqrt((4 * foldedAreaMm2(facts)) / Math.PI));
    width = Math.min(flat, Math.max(roll, pitchMm));
  }
  out.widthMm = width;
  out.heightMm = stripHeightMm(facts, width);
  return out;
}

/** How a strip lies in its shed. */
export interface StripLay {
  readonly lies: 'flat' | 'folded' | 'rolled';
  /** Thicknesses of it that lie over one another, about. */
  readonly layers: number;
  readonly widthMm: Millimetres;
  readonly heightMm: Millimetres;
}

/** Hardly wider than its roll, folds can no longer be told from crumples. */
const ROLL_SHARE = 1.15;

function rollMm(facts: YarnFacts): Millimetres {
  return Math.min(flatWidth(facts), Math.sqrt((4 * foldedAreaMm2(facts)) / Math.PI));
}

/** Whether a strip lies folded or rolled as its card tells it: soft, and narrower in the cloth than it was cut. */
function folds(facts: YarnFacts): facts is YarnFacts & { readonly contactWidthMm: Millimetres } {
  return (
    facts.shape === 'strip' &&
    facts.compressibility !== 'none' &&
    facts.contactWidthMm !== undefined &&
    facts.contactWidthMm < FLAT_SHARE * flatWidth(facts)
  );
}

/**
 * A soft strip as it lies beaten otherwise than fairly firmly, at which its card's width in the cloth was seen. The beat pushes it
 * edgewise, and it buckles into folds as wide as b = 2π√(D/P), D its stiffness across and P the push to the mm (a strut clamped at
 * both ends: L. Euler 1744), so widths go as 1/√P; never narrower than its roll nor wider than it was cut. Other yarns unchanged.
 * @param pushOverFirm resistance that the beat overcomes, over that of a fairly firm one
 */
export function beatenStrip(facts: YarnFacts, pushOverFirm: number): YarnFacts {
  if (!folds(facts) || pushOverFirm === 1) return facts;
  const wanted = facts.contactWidthMm / Math.sqrt(pushOverFirm);
  const least = Math.min(facts.contactWidthMm, rollMm(facts));
  const contactWidthMm = Math.min(flatWidth(facts), Math.max(least, wanted));
  const { freeWidthMm } = facts;
  return {
    ...facts,
    contactWidthMm,
    ...(freeWidthMm === undefined ? {} : { freeWidthMm: Math.max(freeWidthMm, contactWidthMm) }),
  };
}

/** How the strip lies in the cloth, at its width there. */
export function stripLay(facts: YarnFacts): StripLay {
  const widthMm = facts.contactWidthMm ?? flatWidth(facts);
  const layers = Math.max(1, flatWidth(facts) / widthMm);
  const lies = !folds(facts) ? 'flat' : widthMm <= ROLL_SHARE * rollMm(facts) ? 'rolled' : 'folded';
  return { lies, layers, widthMm, heightMm: stripHeightMm(facts, widthMm) };
}
