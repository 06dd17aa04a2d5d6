import type { Migration } from './migrate.ts';

/** Wefts may go on behind the cloth to where they are laid next; none of version 6 does. */
export const sampleKeepsBackFloats: Migration = {
  to: 7,
  what: 'samples keep wefts that go on behind the cloth, loose or tied',
  up: (file) => ({ ...file }),
};
