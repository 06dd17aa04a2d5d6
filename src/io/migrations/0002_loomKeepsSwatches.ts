import type { Migration } from './migrate.ts';

/** Loom cards may say what real swatches told of the beat; none of version 1 does. */
export const loomKeepsSwatches: Migration = {
  to: 2,
  what: 'looms keep what swatches woven on them told of the beat',
  up: (card) => ({ ...card }),
};
