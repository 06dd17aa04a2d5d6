import type { ReedStage } from '#engine/cloth/reed/closing.ts';
import type { SetsAs } from '#engine/yarn/finishing.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** How the cloth is finished, gentlest first. */
export const TREATMENTS = [
  'none',
  'steamed',
  'pressed',
  'soaked',
  'handWashed',
  'machineWashed',
  'tumbled',
  'fulled',
  'brushed',
] as const;
export type Treatment = (typeof TREATMENTS)[number];

export interface TreatmentFacts {
  /** Of the yarn-length shrinkage in a gentle wash, how much this brings about; above 1 more. */
  readonly shrinks: number;
  /** The same of fibres that felt. */
  readonly felts: number;
  /** Of the fibres' swelling in water, how much comes about. */
  readonly wets: number;
  /** Of the loom's tensions, what friction and set keep in the cloth. */
  readonly keepsTension: number;
  /** Height of the yarns' sections over that before: an iron flattens them. */
  readonly flattens: number;
  /** How far fibres that felt or swell come up as hair, 0..1. */
  readonly blooms: number;
  /** Of a thread's bends, what stays as its shape at rest, by what sets it. */
  readonly sets: Readonly<Record<SetsAs, number>>;
  /** How far the reed's marks close. */
  readonly reedMarks: ReedStage;
}

/**
 * Shares by judgement from what finishers tell (common practice: most shrinkage comes in the first wash; steam relaxes
 * about half of it; a hot tumble takes cloth a further third; fulling shortens woollen yarn by 10 to 25 %). Fitted to
 * nothing. Set likewise: wool keeps about a third of a stretch that it is steamed or boiled at (J. B. Speakman, 1930s, from memory), a
 * pressed crease in cotton or a softening fibre about half; shares are estimates, good to a factor of two.
 */
const UNSET = { animal: 0, plant: 0, softening: 0 } as const;

const facts: Readonly<Record<Treatment, TreatmentFacts>> = {
  none: {
    shrinks: 0,
    felts: 0,
    wets: 0,
    keepsTension: 0.25,
    flattens: 1,
    blooms: 0,
    sets: UNSET,
    reedMarks: 'offLoom',
  },
  steamed: {
    shrinks: 0.4,
    felts: 0.4,
    wets: 0.5,
    keepsTension: 0.1,
    flattens: 1,
    blooms: 0.3,
    sets: { animal: 0.35, plant: 0.2, softening: 0.25 },
    reedMarks: 'steamed',
  },
  pressed: {
    shrinks: 0.3,
    felts: 0.3,
    wets: 0.4,
    keepsTension: 0.1,
    flattens: 0.85,
    blooms: 0.1,
    sets: { animal: 0.45, plant: 0.5, softening: 0.5 },
    reedMarks: 'steamed',
  },
  soaked: {
    shrinks: 0.7,
    felts: 0.7,
    wets: 1,
    keepsTension: 0.1,
    flattens: 1,
    blooms: 0.5,
    sets: { animal: 0.15, plant: 0.3, softening: 0.05 },
    reedMarks: 'washed',
  },
  handWashed: {
    shrinks: 1,
    felts: 1.3,
    wets: 1,
    keepsTension: 0.06,
    flattens: 1,
    blooms: 1,
    sets: { animal: 0.2, plant: 0.3, softening: 0.05 },
    reedMarks: 'washed',
  },
  machineWashed: {
    shrinks: 1.5,
    felts: 3.5,
    wets: 1,
    keepsTension: 0.03,
    flattens: 1,
    blooms: 1,
    sets: { animal: 0.25, plant: 0.35, softening: 0.1 },
    reedMarks: 'washed',
  },
  tumbled: {
    shrinks: 2,
    felts: 4.5,
    wets: 1,
    keepsTension: 0.02,
    flattens: 1,
    blooms: 1,
    sets: { animal: 0.3, plant: 0.35, softening: 0.2 },
    reedMarks: 'washed',
  },
  fulled: {
    shrinks: 1.5,
    felts: 5,
    wets: 1,
    keepsTension: 0.02,
    flattens: 1,
    blooms: 1,
    sets: { animal: 0.4, plant: 0.35, softening: 0.1 },
    reedMarks: 'fulled',
  },
  brushed: {
    shrinks: 0.3,
    felts: 0.3,
    wets: 0.3,
    keepsTension: 0.1,
    flattens: 0.95,
    blooms: 0.3,
    sets: { animal: 0.1, plant: 0.1, softening: 0.05 },
    reedMarks: 'steamed',
  },
};

export function treatmentFacts(treatment: Treatment): TreatmentFacts {
  return facts[treatment];
}

/** How far hair comes up in a treatment, 0..1, of yarns whose fibres do so. */
export function bloomIn(treatment: Treatment): number {
  return facts[treatment].blooms;
}

/** Before any finish, some hours off the loom. */
export const OFF_LOOM: TreatmentFacts = facts.none;

/**
 * Of the width that fibres gain in water, what the yarn keeps when dry: it has bulked, and the crimp that the swollen
 * threads asked for is set. One of the model's few constants; see docs/forecast.md.
 */
export const SWELLING_KEPT = 0.5;

/** Share of its length that a yarn loses in a treatment; `at` 0 least .. 1 most of what is known of it. */
export function shrinkShare({ finishing }: YarnBody, treatment: TreatmentFacts, at = 0.5): number {
  if (!finishing) return 0;
  const [least, most] = finishing.shrinkShare;
  return (finishing.felts ? treatment.felts : treatment.shrinks) * (least + at * (most - least));
}

/**
 * A yarn as a treatment leaves it: shorter, thereby heavier for its length and thicker, bulked by what swelling it keeps,
 * pressed where an iron went over it, set in its bends.
 * @param swellingKept by itself {@link SWELLING_KEPT}
 */
export function finishedBody(
  body: YarnBody,
  treatment: TreatmentFacts,
  swellingKept = SWELLING_KEPT,
  shrinkAt = 0.5,
): YarnBody {
  const shorter = 1 - shrinkShare(body, treatment, shrinkAt);
  const swells = 1 + (body.finishing?.swellingShare ?? 0) * treatment.wets * swellingKept;
  const wider = swells / Math.sqrt(shorter);
  const solid = body.finishing === undefined || (swells === 1 && shorter === 1);
  const flat = solid ? 1 : treatment.flattens;
  const setShare = body.finishing?.setsAs ? treatment.sets[body.finishing.setsAs] : 0;
  if (wider === 1 && flat === 1 && setShare === 0) return body;
  return {
    ...body,
    ...(setShare > 0 ? { setShare } : {}),
    tex: body.tex / shorter,
    contactWidthMm: (body.contactWidthMm * wider) / flat,
    contactHeightMm: body.contactHeightMm * wider * flat,
    bodyWidthMm: (body.bodyWidthMm * wider) / flat,
    bodyHeightMm: body.bodyHeightMm * wider * flat,
    freeWidthMm: (body.freeWidthMm * wider) / flat,
  };
}
