import type { Migration } from './migrate.ts';

/** Known faults may say what they do, and to which end; none of version 2 does. */
export const loomKeepsEffects: Migration = {
  to: 3,
  what: 'looms keep what their known faults do to a cloth',
  up: (card) => ({ ...card }),
};
