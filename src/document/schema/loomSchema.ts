import * as v from 'valibot';
import {
  idField,
  MOST_ENDS,
  MOST_TREADLES,
  nameField,
  numberBetween,
  rangeBetween,
  shaftNumber,
  textUpTo,
  wholeBetween,
} from './fields.ts';

/** How shafts are moved: each on its own by the dobby or levers, or by treadles that a tie-up joins to shafts. */
const controlSchema = v.variant('kind', [
  v.strictObject({ kind: v.literal('directLift') }),
  v.strictObject({
    kind: v.literal('treadles'),
    treadles: wholeBetween(1, MOST_TREADLES),
    /** Whether a treadle raises the shafts tied to it, or sinks them. */
    action: v.picklist(['rising', 'sinking']),
  }),
]);

/** The newest version of loom cards; 2 keeps what real swatches have told of the beat on it, 3 what its faults do. */
export const LOOM_VERSION = 3;

/** A loom card: the loom as it stands, whoever warps it. A file of its own, and embedded in every sample. */
export const loomSchema = v.strictObject({
  format: v.literal('forecloth-loom'),
  version: v.literal(LOOM_VERSION),
  id: idField,
  name: nameField,
  shafts: shaftNumber,
  control: controlSchema,
  weavingWidthMm: numberBetween(10, 10_000, 'mm'),
  reedsDentsPerCm: v.array(numberBetween(0.2, 60, 'dents per cm')),
  /** Tension per end that the loom can hold, least and most, centinewtons. */
  tensionCNPerEnd: rangeBetween(0.5, 2000, 'cN'),
  /** Plain weave with one shuttle at a practised weaver's pace. */
  picksPerMinute: v.optional(numberBetween(0.1, 400, 'picks per minute')),
  /** Warp that cannot be woven: tied on in front and left behind the shafts. */
  warpWasteMm: v.optional(numberBetween(0, 5000, 'mm')),
  knownFaults: v.optional(
    v.array(
      v.strictObject({
        shaft: v.optional(shaftNumber),
        treadle: v.optional(wholeBetween(1, MOST_TREADLES)),
        /** Heald of one end, counted from the left on the face. */
        end: v.optional(wholeBetween(1, MOST_ENDS)),
        /** What it does to every cloth woven here; absent = nothing that can be counted on. */
        effect: v.optional(v.picklist(['staysDown', 'staysUp', 'movesNothing'])),
        note: textUpTo(400),
      }),
    ),
  ),
  /** Swatches woven and measured on this loom: how many times the assumed resistance their beat overcame. */
  calibration: v.optional(
    v.pipe(
      v.array(
        v.strictObject({
          name: nameField,
          beatFactor: numberBetween(0.02, 50),
          /** Standard deviation of the factor's logarithm, from what the swatch was measured to. */
          logDoubt: numberBetween(0.001, 2),
        }),
      ),
      v.maxLength(200, 'holds more than 200 swatches | leave the oldest out'),
    ),
  ),
  notes: v.optional(textUpTo(4000)),
  provenance: v.optional(v.record(v.string(), v.string())),
});

export type LoomCard = v.InferOutput<typeof loomSchema>;
