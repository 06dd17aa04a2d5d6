import type { Migration } from './migrate.ts';

/** Samples may say in how high an arc the weft is laid; none of version 7 does. */
export const sampleKeepsTheArc: Migration = {
  to: 8,
  what: 'samples keep the arc in which the weft is laid before the beat',
  up: (file) => ({ ...file }),
};
