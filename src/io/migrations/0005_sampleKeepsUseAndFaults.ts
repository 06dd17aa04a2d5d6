import type { Migration } from './migrate.ts';

/** Samples may say what the cloth is for and what went wrong in weaving it; none of version 4 does. */
export const sampleKeepsUseAndFaults: Migration = {
  to: 5,
  what: 'samples keep what the cloth is for and what went wrong in it',
  up: (file) => ({ ...file }),
};
