import type { Migration } from './migrate.ts';

/** Yarn cards may say what is left, what measured figures may be, and colours along the yarn; none of version 1 does. */
export const yarnKeepsWhatIsLeft: Migration = {
  to: 2,
  what: 'yarns keep ranges, what is left and colours along them',
  up: (card) => ({ ...card }),
};
