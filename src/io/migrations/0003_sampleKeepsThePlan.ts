import type { Migration } from './migrate.ts';

/** Samples may hold pauses, what becomes of tails, the plan of the piece and counted lengths; none of version 2 does. */
export const sampleKeepsThePlan: Migration = {
  to: 3,
  what: 'samples keep pauses, tails and the plan of the whole piece',
  up: (file) => ({ ...file }),
};
