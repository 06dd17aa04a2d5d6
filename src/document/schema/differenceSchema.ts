import * as v from 'valibot';
import { MOST_PICKS } from './fields.ts';

const pathField = v.array(v.union([v.string(), v.pipe(v.number(), v.integer(), v.minValue(0))]));

/**
 * One difference as a file writes it.
 * - `set`: the value at `at` becomes `to`; `remove`: the key at `at` goes.
 * - `splice`: in the list at `at`, `remove` entries from index `from` (0-based) make way for `insert`.
 * - `run`: in the list at `at`, entries from index `from` on get the values `to`, one each, at `field` within the entry
 *   (null takes the field away; no field of a sample is ever null).
 */
export const differenceSchema = v.variant('change', [
  v.strictObject({ change: v.literal('set'), at: pathField, to: v.unknown() }),
  v.strictObject({ change: v.literal('remove'), at: pathField }),
  v.strictObject({
    change: v.literal('splice'),
    at: pathField,
    from: v.pipe(v.number(), v.integer(), v.minValue(0)),
    remove: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(MOST_PICKS)),
    insert: v.array(v.unknown()),
  }),
  v.strictObject({
    change: v.literal('run'),
    at: pathField,
    from: v.pipe(v.number(), v.integer(), v.minValue(0)),
    field: pathField,
    to: v.array(v.unknown()),
  }),
]);

export type FileDifference = v.InferOutput<typeof differenceSchema>;
