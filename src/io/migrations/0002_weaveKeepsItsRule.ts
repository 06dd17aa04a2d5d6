import type { Migration } from './migrate.ts';

/** Weave cards may name a rule in place of threading and lifts, with kind, sett, uses and cautions; none of version 1 does. */
export const weaveKeepsItsRule: Migration = {
  to: 2,
  what: 'weaves keep their rule, usual sett, uses and cautions',
  up: (card) => ({ ...card }),
};
