import * as v from 'valibot';
import {
  idField,
  MOST_ENDS,
  MOST_SHAFTS,
  MOST_TREADLES,
  nameField,
  numberBetween,
  numberSet,
  textUpTo,
  wholeBetween,
} from './fields.ts';
import { yarnSchema } from './yarnSchema.ts';

/**
 * A warp card: what is threaded on a loom. Order and threading are read from end 1, leftmost on the face, and are kept
 * as they were written.
 */
export const warpSchema = v.strictObject({
  format: v.literal('forecloth-warp'),
  version: v.literal(1),
  id: idField,
  name: nameField,
  /** The loom it is on, where it is on one. */
  loomId: v.optional(idField),
  ends: wholeBetween(1, MOST_ENDS),
  /**
   * Yarns in order: "4 red 2 cream x10", groups parted by commas, strands that lie together in one heald joined by +
   * ("3 red+gold"); or a list of such groups. See `notation/endOrder.ts`.
   */
  order: v.union([v.string(), v.array(v.string())]),
  reed: v.strictObject({
    dentsPerCm: numberBetween(0.2, 60, 'dents per cm'),
    endsPerDent: wholeBetween(1, 32),
  }),
  /** Shaft of each end: "1-16 x40", or a list; 0 is an end on no shaft. */
  threading: v.union([v.string(), v.array(wholeBetween(0, MOST_SHAFTS))]),
  /** Treadle looms: the shafts tied to each treadle, treadle 1 first. */
  tieUp: v.optional(v.pipe(v.array(numberSet(MOST_SHAFTS)), v.maxLength(MOST_TREADLES))),
  tensionCNPerEnd: numberBetween(0.5, 2000, 'cN'),
  metresLeft: v.optional(numberBetween(0, 1000, 'm')),
  /** True while it is on a shared loom: its yarns' order, sett and threading cannot be changed. */
  fixed: v.optional(v.boolean()),
  notes: v.optional(textUpTo(4000)),
  /** In a file of its own, the yarns it uses; within a sample they stand in the sample's `yarns`. */
  yarns: v.optional(v.record(idField, yarnSchema)),
});

export type WarpCard = v.InferOutput<typeof warpSchema>;
