import type { ClothProblem } from './clothTypes.ts';

/** Number of each row's yarn, by which shuttle it comes from: the same for one strip however the beat leaves it lying. */
export function yarnOfRows({ yarns, rowYarn }: Pick<ClothProblem, 'yarns' | 'rowYarn'>): Uint16Array {
  const first = new Map<string, number>();
  const same = yarns.map(({ strands }, index) => {
    const key = strands.join('+');
    if (!first.has(key)) first.set(key, index);
    return first.get(key)!;
  });
  return Uint16Array.from(rowYarn, (yarn) => same[yarn]);
}
