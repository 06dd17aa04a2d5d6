import type { Migration } from './migrate.ts';

/** Yarn cards may say what is left on the shelf, and what measured figures may be; no card of version 1 does. */
export const yarnKeepsWhatIsLeft: Migration = {
  to: 2,
  what: 'yarns keep ranges and what is left',
  up: (card) => ({ ...card }),
};
