import { describe, expect, it } from 'vitest';
import { COUNT_SYSTEMS, type CountSystem } from '#engine/units/countSystems.ts';
import { parseCount } from '#engine/units/parseCount.ts';
import yarnFacts from './data/yarn-facts.json';

interface YarnRecord {
  readonly id: string;
  readonly count: string;
  readonly tex: number;
  readonly plies: number | string;
}

/** Labels that weigh something else than they say: the printed length is what was measured (see each `tex_how`). */
const PRINTED_LENGTH_WINS = new Set(['cottolin-22-2', 'linen-16-2', 'silk-20-2', 'shetland-single']);

const PREFIXES = new Set(
  Object.values(COUNT_SYSTEMS)
    .map((facts) => facts.prefix)
    .filter(Boolean),
);

function labelled(): YarnRecord[] {
  const yarns = yarnFacts.yarns as unknown as YarnRecord[];
  return yarns.filter(({ id, count }) => {
    const hasSystem =
      [...PREFIXES].some((prefix) => count.startsWith(`${prefix} `)) || / tex\b| den\b|^\d+ yd\/lb$/.test(count);
    return hasSystem && !count.startsWith('about') && !PRINTED_LENGTH_WINS.has(id);
  });
}

describe('labels of the yarn list read as their recorded tex', () => {
  const yarns = labelled();
  it('are many', () => {
    expect(yarns.length).toBeGreaterThanOrEqual(30);
  });
  it.each(yarns.map((yarn) => [yarn.id, yarn] as const))('%s', (id, { count, tex, plies }) => {
    const read = parseCount(count);
    // 30 tex x 12 weighs 390.6 with its twist take-up of 8.5 %, the label without; other records are rounded to 4 digits.
    expect(Math.abs(read.tex / tex - 1)).toBeLessThan(id === 'cotton-twine-12' ? 0.08 : 5e-4);
    if (typeof plies === 'number' && count.includes('/') && !count.includes('fil') && !count.includes('yd/lb')) {
      expect(read.plies).toBe(plies);
    }
    expect(COUNT_SYSTEMS[read.system as CountSystem]).toBeDefined();
  });
});
