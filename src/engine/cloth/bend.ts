/** Most by which a bend moves the section's place, over its half axis: beyond, the thread bends tighter than it is thick. */
export const BEND_SHARE = 0.35;
/**
 * A thread that somewhere bends more tightly than this (half its section over the radius) is met by its true nearest place,
 * and its wraps turn the bend at a node by no more than WRAP_SHARE of what it is without them: more would dip a crest between
 * two humps, which no taut thread has. Just below it the section's foot on the tangent is off by up to 2 % of D at the crest.
 */
export const TIGHT_BEND = 1.6;
export const WRAP_SHARE = 1.5;
/** Its nearest place is looked for among so many of a segment, and from the best by so many steps of Newton's. */
export const FOOT_LOOKS = 5;
export const FOOT_STEPS = 2;

/** A wrap that turns the bend at its node round, cut to WRAP_SHARE of it. */
export function limitedWrap(wrap: number, bend: number): number {
  return wrap * bend < 0 ? Math.sign(wrap) * Math.min(Math.abs(wrap), WRAP_SHARE * Math.abs(bend)) : wrap;
}
