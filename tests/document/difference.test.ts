import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { applyChanges, ChangeError, difference, reverseChanges } from '#document/difference.ts';

const SEED = 4711;

/** JSON trees whose lists often hold alike objects, as picks do. */
const { tree } = fc.letrec<{ tree: unknown; entry: unknown }>((tie) => ({
  entry: fc.record(
    { lift: fc.array(fc.nat(3), { maxLength: 3 }), beat: fc.nat(2), passes: fc.array(fc.record({ end: fc.nat(2) })) },
    { requiredKeys: ['lift'] },
  ),
  tree: fc.oneof(
    { maxDepth: 3 },
    fc.nat(3),
    fc.constantFrom('kelp', 'gull'),
    fc.array(tie('entry'), { maxLength: 8 }),
    fc.array(fc.nat(2), { maxLength: 6 }),
    fc.dictionary(fc.constantFrom('a', 'b', 'picks'), tie('tree'), { maxKeys: 3 }),
  ),
}));

describe('differences', () => {
  test(`applied, they give the other tree; reversed, the first again (2000 pairs, seed ${SEED})`, () => {
    fc.assert(
      fc.property(tree, tree, (a, b) => {
        const before = structuredClone({ root: a });
        const after = structuredClone({ root: b });
        const changes = difference(before, after);
        expect(applyChanges(before, changes)).toEqual(after);
        expect(applyChanges(after, reverseChanges(changes))).toEqual(before);
        expect(before).toEqual({ root: a });
      }),
      { seed: SEED, numRuns: 2000 },
    );
  });

  test('the same trees differ in nothing, whatever the order of their keys', () => {
    expect(difference({ a: 1, b: [{ c: 2 }] }, { b: [{ c: 2 }], a: 1 })).toEqual([]);
  });

  test('a field changed over consecutive entries is one run of values', () => {
    const picks = Array.from({ length: 9 }, (_, i) => ({ lift: [i], beat: 0.5 }));
    const changed = picks.map((pick, i) => (i >= 3 && i < 7 ? { ...pick, beat: i / 10 } : pick));
    expect(difference({ picks }, { picks: changed })).toEqual([
      {
        kind: 'run',
        at: ['picks'],
        from: 3,
        field: ['beat'],
        before: [0.5, 0.5, 0.5, 0.5],
        after: [0.3, 0.4, 0.5, 0.6],
      },
    ]);
  });

  test('every other entry changed is still one run, which leaves the ones between as they were', () => {
    const picks = Array.from({ length: 8 }, (_, i) => ({ weft: i % 2 === 0 ? 'cord' : 'thin' }));
    const changed = picks.map(({ weft }) => ({ weft: weft === 'cord' ? 'jute' : weft }));
    const changes = difference(picks, changed);
    expect(changes).toHaveLength(1);
    expect(changes[0]).toMatchObject({ kind: 'run', from: 0, field: ['weft'] });
    expect(applyChanges(picks, changes)).toEqual(changed);
  });

  test('entries put in or taken out are a splice', () => {
    expect(difference([{ a: 1 }, { a: 2 }], [{ a: 1 }, { a: 9 }, { a: 2 }])).toEqual([
      { kind: 'splice', at: [], from: 1, removed: [], inserted: [{ a: 9 }] },
    ]);
  });

  test('a change that does not fit is refused, and nothing reaches a prototype', () => {
    const apply = (at: (string | number)[]) => () =>
      applyChanges({ picks: [{}] }, [{ kind: 'set', at, before: undefined, after: 1 }]);
    expect(apply(['picks', 1])).toThrow(ChangeError);
    expect(apply(['picks', 0, 'deep', 'er'])).toThrow(ChangeError);
    for (const key of ['__proto__', 'constructor', 'prototype']) expect(apply([key, 'polluted'])).toThrow(ChangeError);
    expect(() =>
      applyChanges({ picks: [] }, [{ kind: 'splice', at: ['picks'], from: 0, removed: [1], inserted: [] }]),
    ).toThrow(/entries 1 to 1 are asked for, 0 are here/);
  });
});
