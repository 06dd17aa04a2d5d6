import type { Migration } from './migrate.ts';

/** Among what is done after the loom there may be bends by hand; none of version 5 has any. */
export const sampleKeepsBends: Migration = {
  to: 6,
  what: 'samples keep bends that wefts with wire are given by hand',
  up: (file) => ({ ...file }),
};
