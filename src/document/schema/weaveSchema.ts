import * as v from 'valibot';
import {
  idField,
  MOST_SHAFTS,
  nameField,
  numberSet,
  rangeBetween,
  shaftNumber,
  textUpTo,
  wholeBetween,
} from './fields.ts';

/** The newest version of weave cards; 2 keeps the rule that makes a weave, its usual sett, uses and cautions. */
const WEAVE_VERSION = 2;

const fields = {
  format: v.literal('forecloth-weave'),
  version: v.literal(WEAVE_VERSION),
  id: idField,
  name: nameField,
  /** Under what it stands in the library: "twill"; absent where its rule says so. */
  kind: v.optional(nameField),
  /** Usual sett as a share of the maximum of this weave, least and most; above 1 where layers lie over one another. */
  settShare: v.optional(rangeBetween(0.1, 3)),
  uses: v.optional(textUpTo(400)),
  cautions: v.optional(textUpTo(1000)),
  notes: v.optional(textUpTo(2000)),
  source: textUpTo(400),
};

/** A weave card: one repeat of a structure, with where it was taken from; by the rule that makes it, or written out. */
export const weaveSchema = v.union(
  [
    v.strictObject({
      ...fields,
      /** The rule's name as `rule`, and what is set in it. See `engine/weave/structures`. */
      made: v.objectWithRest({ rule: v.string() }, v.union([v.number(), textUpTo(2000)])),
    }),
    v.strictObject({
      ...fields,
      shafts: shaftNumber,
      /** One repeat: "1-4", or a list of shafts. */
      threading: v.union([v.string(), v.array(wholeBetween(0, MOST_SHAFTS))]),
      /** One repeat, first pick first: "1+3, 2+4", or a list of lists of shafts. */
      lifts: v.union([v.string(), v.array(numberSet(MOST_SHAFTS))]),
    }),
  ],
  'is neither made by a rule nor written out | give "made", or "shafts", "threading" and "lifts"',
);

export type WeaveCard = v.InferOutput<typeof weaveSchema>;
