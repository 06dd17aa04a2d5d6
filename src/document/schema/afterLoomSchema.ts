import * as v from 'valibot';
import { colourField, MOST_ENDS, MOST_PICKS, numberBetween, wholeBetween } from './fields.ts';

/** A sample holds at most this many treatments; more than anyone does to one cloth, and a guard against hostile files. */
export const MOST_TREATMENTS = 32;

const sideField = v.picklist(['face', 'back']);

/** A place on the cloth, counted as the weaver counts: 1 is the middle of end or pick 1; between threads in decimals. */
const placeField = v.strictObject({
  end: numberBetween(-MOST_ENDS, 2 * MOST_ENDS),
  pick: numberBetween(-MOST_PICKS, 2 * MOST_PICKS),
});

/** Part of the cloth, first and last end and pick included; what is left out reaches to the cloth's own edge. */
const partField = v.pipe(
  v.strictObject({
    fromEnd: v.optional(wholeBetween(1, MOST_ENDS)),
    toEnd: v.optional(wholeBetween(1, MOST_ENDS)),
    fromPick: v.optional(wholeBetween(1, MOST_PICKS)),
    toPick: v.optional(wholeBetween(1, MOST_PICKS)),
  }),
  v.check(
    ({ fromEnd = 1, toEnd = MOST_ENDS, fromPick = 1, toPick = MOST_PICKS }) => fromEnd <= toEnd && fromPick <= toPick,
    'ends before it begins | put the smaller number first',
  ),
);

const floatLength = wholeBetween(2, 1000);

/** Hairs raised with a teasel or a wire brush. */
const brushSchema = v.strictObject({
  kind: v.literal('brush'),
  side: v.picklist(['face', 'back', 'both']),
  strength: v.picklist(['light', 'raised', 'hard']),
});

/** The whole piece in one dyebath. */
const overdyeSchema = v.strictObject({
  kind: v.literal('overdye'),
  dye: v.picklist(['fibreReactive', 'direct', 'vat', 'acid', 'basic', 'disperse']),
  /** What the bath makes of a pure white fibre that takes the dye wholly, at depth 1. */
  colour: colourField,
  /** Dye for the weight of cloth, over what `colour` is given for. */
  depth: numberBetween(0.05, 4),
});

/** Floats cut at both ends and taken away. */
const clipSchema = v.strictObject({
  kind: v.literal('clip'),
  side: sideField,
  /** Whose floats: the warp's, the weft's, or both. */
  threads: v.picklist(['warp', 'weft', 'both']),
  /** Crossings that a float passes over at least. */
  atLeast: floatLength,
  /** Length left standing at each end of what was clipped. */
  leaveMm: v.optional(numberBetween(0, 20, 'mm')),
  part: v.optional(partField),
});

/** Scissors or a blade along a line. */
const cutSchema = v.pipe(
  v.strictObject({
    kind: v.literal('cut'),
    line: v.pipe(
      v.array(placeField),
      v.minLength(2, 'has fewer than two places | give two or more'),
      v.maxLength(200, 'has more than 200 places | leave some out'),
    ),
    /** The line runs on from its last place to its first. */
    closed: v.optional(v.boolean()),
    /**
     * `floats`: those that lie uppermost on `side` and cross the line; `layer`: the threads of the layer on that side,
     * slit by an open line, taken away within a closed one; `through`: all, one part being kept.
     */
    what: v.picklist(['floats', 'layer', 'through']),
    side: v.optional(sideField),
    /** Of floats: crossings passed over at least. */
    atLeast: v.optional(floatLength),
    /** Of a layer and through: how far the edge is left to fray. */
    frayMm: v.optional(numberBetween(0, 50, 'mm')),
    /** Of a cut through: what stays. Left and right as one follows the line over the face. */
    keep: v.optional(v.picklist(['inside', 'outside', 'left', 'right'])),
  }),
  v.check(
    ({ closed, line }) => !closed || line.length >= 3,
    'is closed but has only two places | give a third, or leave it open',
  ),
  v.check(
    ({ what, keep, closed }) =>
      what !== 'through' || (keep !== undefined && (closed === true) === (keep === 'inside' || keep === 'outside')),
    'does not say what stays | keep inside or outside of a closed line, left or right of an open one',
  ),
);

/** Metal leaf pressed on with size: it holds where the cloth stands highest. */
const foilSchema = v.strictObject({
  kind: v.literal('foil'),
  side: sideField,
  colour: colourField,
  /** Of all that side that one sees square on, the share that takes the leaf: how hard and how softly bedded it is pressed. */
  share: numberBetween(0.01, 1),
});

/** A weft with wire in it, bent by hand at one place. */
const bendSchema = v.pipe(
  v.strictObject({
    kind: v.literal('bend'),
    /** Every weft with wire from here to `toPick`. */
    pick: wholeBetween(1, MOST_PICKS),
    toPick: v.optional(wholeBetween(1, MOST_PICKS)),
    /** Where along it, between ends in decimals. */
    end: numberBetween(1, MOST_ENDS),
    angleDegrees: numberBetween(1, 90, '°'),
    /** Of the yarn's middle. */
    radiusMm: numberBetween(0.1, 500, 'mm'),
    /** Where it stands out. */
    side: sideField,
  }),
  v.check(({ pick, toPick = pick }) => pick <= toPick, 'ends before it begins | put the smaller pick first'),
);

export const treatmentSchema = v.variant('kind', [
  brushSchema,
  overdyeSchema,
  clipSchema,
  cutSchema,
  bendSchema,
  foilSchema,
]);

/** What is done to the cloth once it is off the loom, in this order. */
export const afterLoomSchema = v.pipe(
  v.array(treatmentSchema),
  v.maxLength(MOST_TREATMENTS, `has more than ${MOST_TREATMENTS} treatments | leave some out`),
);

export type Treatment = v.InferOutput<typeof treatmentSchema>;
export type TreatmentKind = Treatment['kind'];
export type TreatmentOf<Kind extends TreatmentKind> = Extract<Treatment, { kind: Kind }>;
