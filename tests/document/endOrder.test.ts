import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatEndOrder, parseEndOrder } from '#document/notation/endOrder.ts';

function ends(order: string | string[]): string[] | string {
  const outcome = parseEndOrder(order);
  if (!outcome.ok) return outcome.problems[0].message;
  const { palette, index } = outcome.value;
  return Array.from(index, (at) => palette[at].join('+'));
}

const SEED = 33;

describe('the order of ends', () => {
  test.each<[string | string[], string[]]>([
    ['4 red 2 cream', ['red', 'red', 'red', 'red', 'cream', 'cream']],
    ['1 red 1 cream x2', ['red', 'cream', 'red', 'cream']],
    ['red, cream × 2', ['red', 'cream', 'cream']],
    ['2 red+gold', ['red+gold', 'red+gold']],
    ['1 red + gold', ['red+gold']],
    ['(1 red 1 cream) x2, 1 red', ['red', 'cream', 'red', 'cream', 'red']],
    ['2 cotton-8-2 x1', ['cotton-8-2', 'cotton-8-2']],
    [
      ['red', '2 cream'],
      ['red', 'cream', 'cream'],
    ],
  ])('%j', (order, wanted) => {
    expect(ends(order)).toEqual(wanted);
  });

  test.each<[string | string[], RegExp]>([
    ['4 Red', /character 1/],
    ['4', /character 1/],
    ['red x0', /repeat of 1 or more/],
    ['0 red', /1 to 65535 ends/],
    ['red x99999 , (red x99999) x99999', /at most 200000/],
    [['red', '2 cream,'], /order entry|Entry 2/i],
  ])('%j is refused', (order, words) => {
    expect(ends(order)).toMatch(words);
  });

  test(`written out and read back is the same (500 orders, seed ${SEED})`, () => {
    const strands = fc.constantFrom('red', 'cream', 'red+gold', 'x-ray', 'cotton-8-2', 'gold+red');
    const runs = fc.array(fc.tuple(strands, fc.integer({ min: 1, max: 5 })), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(runs, fc.integer({ min: 1, max: 4 }), (list, times) => {
        const once = list.flatMap(([name, count]) => Array<string>(count).fill(name));
        const all = Array.from({ length: times }, () => once).flat();
        const outcome = parseEndOrder(all);
        if (!outcome.ok) throw new Error(outcome.problems[0].message);
        expect(ends(formatEndOrder(outcome.value))).toEqual(all);
      }),
      { seed: SEED, numRuns: 500 },
    );
  });
});
