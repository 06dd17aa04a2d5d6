import * as v from 'valibot';
import {
  idField,
  MOST_TREADLES,
  nameField,
  numberBetween,
  rangeBetween,
  shaftNumber,
  textUpTo,
  wholeBetween,
} from './fields.ts';

/** How shafts are moved: each on its own by the dobby or levers, or by treadles that a tie-up joins to shafts. */
export const controlSchema = v.variant('kind', [
  v.strictObject({ kind: v.literal('directLift') }),
  v.strictObject({
    kind: v.literal('treadles'),
    treadles: wholeBetween(1, MOST_TREADLES),
    /** Whether a treadle raises the shafts tied to it, or sinks them. */
    action: v.picklist(['rising', 'sinking']),
  }),
]);

/** A loom card: the loom as it stands, whoever warps it. A file of its own, and embedded in every sample. */
export const loomSchema = v.strictObject({
  format: v.literal('forecloth-loom'),
  version: v.literal(1),
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
        note: textUpTo(400),
      }),
    ),
  ),
  notes: v.optional(textUpTo(4000)),
  provenance: v.optional(v.record(v.string(), v.string())),
});

export type LoomCard = v.InferOutput<typeof loomSchema>;
export type LoomControl = LoomCard['control'];
