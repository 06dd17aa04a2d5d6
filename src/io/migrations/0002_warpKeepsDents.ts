import type { Migration } from './migrate.ts';

/** Warp cards may give dents as a pattern, the reed's wire and the spread of tension; none of version 1 does. */
export const warpKeepsDents: Migration = {
  to: 2,
  what: 'warps keep patterns of dents and how unevenly the ends are stretched',
  up: (card) => ({ ...card }),
};
