import * as v from 'valibot';
import { idField, MOST_SHAFTS, nameField, numberSet, shaftNumber, textUpTo, wholeBetween } from './fields.ts';

/** A weave card: one repeat of a structure as threading and lifts, with where it was taken from. */
export const weaveSchema = v.strictObject({
  format: v.literal('forecloth-weave'),
  version: v.literal(1),
  id: idField,
  name: nameField,
  shafts: shaftNumber,
  /** One repeat: "1-4", or a list of shafts. */
  threading: v.union([v.string(), v.array(wholeBetween(0, MOST_SHAFTS))]),
  /** One repeat, first pick first: "1+3, 2+4", or a list of lists of shafts. */
  lifts: v.union([v.string(), v.array(numberSet(MOST_SHAFTS))]),
  notes: v.optional(textUpTo(2000)),
  source: textUpTo(400),
});

export type WeaveCard = v.InferOutput<typeof weaveSchema>;
