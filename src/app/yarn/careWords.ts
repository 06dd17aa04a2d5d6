import type { YarnCard } from '#document/schema/yarnSchema.ts';

/**
 * Dangers that a material brings, by what its card says of it, each with a line of caution (common practice). None of
 * them is a rule: `deference` says whose word counts.
 */
const dangers: readonly (readonly [told: RegExp, line: string])[] = [
  [
    /\bwires?\b|steel|copper|metal, bare/i,
    'Wire: cut ends spring and prick. Guard your eyes as you cut, fold the ends back and bury them; metal conducts.',
  ],
  [
    /film|foil|holo|metallised|aluminised/i,
    'Film: edges cut fingers and a soft warp. Keep the iron off, or press cool through a cloth.',
  ],
  [
    /loose fibre|roving|\bdust|sheds|pile\b|halo|lint/i,
    'Loose fibre and pile: dust flies and catches fire readily. Wear a mask where it does, and keep it from flames, and from babies and pets.',
  ],
  [
    /melt|glaz|iron\b|heat|scorch|hot knife|heat-seal|low heat|press cool/i,
    'Heat: try the iron on a scrap. What melts or is sealed hot gives off fumes; work in fresh air.',
  ],
];

export const deference =
  'Common practice, and no promise: the maker’s advice comes first, and where people sit, sleep or gather so do the local fire and safety codes.';

/** Lines of care for a yarn: what its card says, the dangers of such a material, and whose word counts. */
export function careLines(card: YarnCard): readonly string[] {
  const said = card.cautions;
  const all = `${card.name}; ${card.fibre}; ${said ?? ''}; ${card.hairiness === 'halo' || card.hairiness === 'pile' ? card.hairiness : ''}`;
  const lines = dangers.filter(([told]) => told.test(all)).map(([, line]) => line);
  if (said === undefined && lines.length === 0) return [];
  return [...(said === undefined ? [] : [`${said[0].toUpperCase()}${said.slice(1)}.`]), ...lines, deference];
}
