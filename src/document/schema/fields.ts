import * as v from 'valibot';

/** Shared field schemas. Every message is "what is wrong | what to do"; `validate.ts` splits it at the bar. */

export function numberBetween(least: number, most: number, unit = '') {
  const range = `between ${least} and ${most}${unit === '' ? '' : ` ${unit}`}`;
  const message = `is not ${range} | give a number ${range}`;
  return v.pipe(v.number(), v.finite(message), v.minValue(least, message), v.maxValue(most, message));
}

export function wholeBetween(least: number, most: number) {
  const range = `between ${least} and ${most}`;
  const message = `is not a whole number ${range} | give a whole number ${range}`;
  return v.pipe(v.number(), v.integer(message), v.minValue(least, message), v.maxValue(most, message));
}

/** [least, most] of something known only as a range. */
export function rangeBetween(least: number, most: number, unit = '') {
  return v.pipe(
    v.tuple([numberBetween(least, most, unit), numberBetween(least, most, unit)]),
    v.check(([low, high]) => low <= high, 'has its larger number first | put the least first, then the most'),
  );
}

export function textUpTo(length: number) {
  return v.pipe(v.string(), v.maxLength(length, `is longer than ${length} characters | shorten it`));
}

export const nameField = v.pipe(
  v.string(),
  v.check((text) => text.trim() !== '', 'is empty | give a name'),
  v.maxLength(120, 'is longer than 120 characters | shorten it'),
);

/**
 * Ids stand in compact notation beside counts and repeats ("4 red 2 cream x10"), so they start with a letter,
 * hold no spaces, and do not begin like a repeat (x10).
 */
export const idField = v.pipe(
  v.string(),
  v.regex(
    /^(?!x\d)[a-z][a-z0-9.-]{0,63}$/,
    'is not a usable id | use lower-case letters, digits, dots and hyphens, starting with a letter, at most 64 characters, and not x and a digit',
  ),
);

export const colourField = v.pipe(v.string(), v.regex(/^#[0-9a-f]{6}$/i, 'is not a colour | write it as #rrggbb'));

export const MOST_SHAFTS = 64;
export const MOST_TREADLES = 64;
/** Largest warp and longest sample that a file may hold; beyond any hand loom, and a guard against hostile files. */
export const MOST_ENDS = 10_000;
export const MOST_PICKS = 20_000;

export const shaftNumber = wholeBetween(1, MOST_SHAFTS);

/** A set of shafts or treadles, each named once. */
export function numberSet(most: number) {
  return v.pipe(
    v.array(wholeBetween(1, most)),
    v.check((list) => new Set(list).size === list.length, 'names the same number twice | name each one once'),
  );
}
