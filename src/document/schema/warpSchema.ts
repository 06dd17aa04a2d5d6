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

/** The newest version of warp cards; 2 keeps patterns of dents, the reed's wire and how unevenly the ends are stretched. */
export const WARP_VERSION = 2;

/**
 * A warp card: what is threaded on a loom. Order and threading are read from end 1, leftmost on the face, and are kept
 * as they were written.
 */
export const warpSchema = v.strictObject({
  format: v.literal('forecloth-warp'),
  version: v.literal(WARP_VERSION),
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
    /** The same number in every dent, or their order, "2 2 0 3", begun again until the ends run out; 0 leaves a dent empty. */
    endsPerDent: v.union([wholeBetween(1, 32), textUpTo(4000)]),
    /** Share of a dent that its wire takes; absent = a usual one. */
    wireShare: v.optional(numberBetween(0, 0.8)),
  }),
  /** Shaft of each end: "1-16 x40", or a list; 0 is an end on no shaft. */
  threading: v.union([v.string(), v.array(wholeBetween(0, MOST_SHAFTS))]),
  /** Treadle looms: the shafts tied to each treadle, treadle 1 first. */
  tieUp: v.optional(v.pipe(v.array(numberSet(MOST_SHAFTS)), v.maxLength(MOST_TREADLES))),
  tensionCNPerEnd: numberBetween(0.5, 2000, 'cN'),
  /** Standard deviation of the tension from end to end over its mean, per cent; absent = all alike. */
  tensionSpreadPercent: v.optional(numberBetween(0, 60, '%')),
  /**
   * A second beam, whose ends are let off longer than the first's: `ends` says which, 1 for those on it, "0 1" or
   * "0 x20, 1 x12", begun again until the ends run out.
   */
  secondBeam: v.optional(v.strictObject({ ends: textUpTo(4000), slackPercent: numberBetween(0.1, 100, '%') })),
  metresLeft: v.optional(numberBetween(0, 1000, 'm')),
  /** True while it is on a shared loom: its yarns' order, sett and threading cannot be changed. */
  fixed: v.optional(v.boolean()),
  notes: v.optional(textUpTo(4000)),
  /** In a file of its own, the yarns it uses; within a sample they stand in the sample's `yarns`. */
  yarns: v.optional(v.record(idField, yarnSchema)),
});

export type WarpCard = v.InferOutput<typeof warpSchema>;
