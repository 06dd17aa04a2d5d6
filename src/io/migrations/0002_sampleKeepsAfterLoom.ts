import type { Migration } from './migrate.ts';

/** Samples may say what is done to the cloth after the loom; none of version 1 does. */
export const sampleKeepsAfterLoom: Migration = {
  to: 2,
  what: 'samples keep what is done after the loom',
  up: (file) => ({ ...file }),
};
