import type { Migration } from './migrate.ts';

/** Samples may hold sections of the draft file that they came from; none of version 3 does. */
export const sampleKeepsForeignSections: Migration = {
  to: 4,
  what: 'samples keep what a draft file held beside the draft',
  up: (file) => ({ ...file }),
};
