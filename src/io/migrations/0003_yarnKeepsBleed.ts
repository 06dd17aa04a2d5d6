import type { Migration } from './migrate.ts';

/**
 * Yarn cards may say how far colours along the yarn bleed; none of version 2 does. More colours of plies than plies were let pass
 * and could not be told apart: those beyond the plies are left out.
 */
export const yarnKeepsBleed: Migration = {
  to: 3,
  what: 'yarns keep how far the colours along them bleed, and no more colours of plies than plies',
  up(card) {
    const { plyColours, plies, ...rest } = card;
    if (!Array.isArray(plyColours) || typeof plies !== 'number') return { ...card };
    return plies > 1 ? { ...card, plyColours: plyColours.slice(0, plies) } : { ...rest, plies };
  },
};
