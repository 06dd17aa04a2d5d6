import * as v from 'valibot';
import { idField, MOST_ENDS, MOST_SHAFTS, numberBetween, numberSet, wholeBetween } from './fields.ts';

/** One weft passing through a shed, over its whole width or part of it. */
export const passSchema = v.strictObject({
  /** Yarns that lie together in the shed; one for an ordinary pass. */
  strands: v.pipe(
    v.array(idField),
    v.minLength(1, 'is empty | name at least one yarn'),
    v.maxLength(16, 'holds more than 16 strands | lay the rest in as another pass'),
  ),
  /** First and last end passed, 1-based, both included; absent = the full width. */
  fromEnd: v.optional(wholeBetween(1, MOST_ENDS)),
  toEnd: v.optional(wholeBetween(1, MOST_ENDS)),
  enters: v.picklist(['left', 'right']),
  /** How the weft leaves its last end; behind the cloth it goes on to where it is laid next, left loose or tied up on the way. */
  ends: v.picklist(['selvedge', 'turn', 'interlock', 'slit', 'cut', 'behind', 'tied']),
  /** Length left hanging at a cut end. */
  tailMm: v.optional(numberBetween(0, 500, 'mm')),
  /** What is done with the tails of a cut weft: left as fringe (as where nothing is said), tucked into the next shed, folded behind. */
  tails: v.optional(v.picklist(['fringe', 'tucked', 'folded'])),
});

/** One shed and what is laid in it. */
export const pickSchema = v.strictObject({
  /** Shafts raised on a direct-lift loom; treadles pressed together on a treadle loom. */
  lift: numberSet(MOST_SHAFTS),
  /** Firmness of this pick's beat, 0 loosest .. 1 hardest; absent = the sample's. */
  beat: v.optional(numberBetween(0, 1)),
  /** How long the loom stood under tension before this pick. */
  pauseBeforeMin: v.optional(numberBetween(0, 100_000, 'min')),
  passes: v.pipe(
    v.array(passSchema),
    v.minLength(1, 'has no pass | lay a weft in it, or delete the pick'),
    v.maxLength(64, 'has more than 64 passes | split the pick'),
  ),
});

export type WeftPass = v.InferOutput<typeof passSchema>;
export type WeftPick = v.InferOutput<typeof pickSchema>;
