import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DraftError } from '#engine/draft/draftError.ts';
import { formatColourOrder, formatLifts, formatThreading } from '#engine/draft/formatNotation.ts';
import { parseColourOrder, parseLifts, parseThreading } from '#engine/draft/orders.ts';
import { collapseRuns, expandRuns } from '#engine/draft/runs.ts';
import { listMembers, setsFromLists } from '#engine/draft/shaftSet.ts';

const seed = 98;

describe('parseThreading', () => {
  const cases: [string, number[]][] = [
    ['1-4 x3', [1, 2, 3, 4, 1, 2, 3, 4, 1, 2, 3, 4]],
    ['1–4 × 2', [1, 2, 3, 4, 1, 2, 3, 4]],
    ['1-4x2', [1, 2, 3, 4, 1, 2, 3, 4]],
    ['1-8, 7-2', [1, 2, 3, 4, 5, 6, 7, 8, 7, 6, 5, 4, 3, 2]],
    ['(1-4 x2, 5-8) x3', Array.from({ length: 3 }, () => [1, 2, 3, 4, 1, 2, 3, 4, 5, 6, 7, 8]).flat()],
    ['1, 3 2 3 x2, 8', [1, 3, 2, 3, 3, 2, 3, 8]],
    ['1 2 x2 3 4 x2', [1, 2, 1, 2, 3, 4, 3, 4]],
    ['((1 2) x2, 3) x2', [1, 2, 1, 2, 3, 1, 2, 1, 2, 3]],
    ['straight 4', [1, 2, 3, 4]],
    ['point 4 x2', [1, 2, 3, 4, 3, 2, 1, 2, 3, 4, 3, 2]],
    ['straight 5-8', [5, 6, 7, 8]],
    ['Point 8-5', [8, 7, 6, 5, 6, 7]],
    ['0, 1-3, 0', [0, 1, 2, 3, 0]],
    ['5', [5]],
    ['', []],
    ['1-2\n3-4 ; 8', [1, 2, 3, 4, 8]],
  ];
  it.each(cases)('reads %j', (text, expected) => {
    expect([...parseThreading(text)]).toEqual(expected);
  });

  it('reads the fixed warp of sixteen shafts, forty times', () => {
    const threading = parseThreading('1-16 x40', 16);
    expect(threading.length).toBe(640);
    expect(threading[639]).toBe(16);
  });

  const wrong: [string, number, RegExp][] = [
    ['1-4, x3', 6, /expected a shaft/],
    ['1-4 x', 6, /how many times, such as x10/],
    ['1-4 x0', 5, /a repeat of 1 or more/],
    ['1-4, , 5', 6, /expected a shaft/],
    ['1-4,', 5, /found the end/],
    ['(1-4 x2', 8, /"\)" for the "\(" at character 1/],
    ['1-4) x2', 4, /no "\)" without its "\("/],
    ['1-4 red', 5, /expected a shaft.*found "red"/],
    ['1, (,2)', 5, /expected a shaft/],
    ['()', 2, /expected a shaft/],
    ['1 2-9 3', 3, /shaft 9; there are shafts 1 to 8/],
    ['(1-8 x9999) x9999', 13, /at most 200000/],
  ];
  it.each(wrong)('says where %j goes wrong', (text, character, message) => {
    let error: unknown;
    try {
      parseThreading(text, 8);
    } catch (caught) {
      error = caught;
    }
    expect(error).toBeInstanceOf(DraftError);
    expect((error as DraftError).message).toMatch(message);
    expect((error as DraftError).where).toEqual({ part: 'character', at: character });
  });
});

describe('parseColourOrder', () => {
  it('repeats what stands since the last comma', () => {
    expect(collapseRuns(parseColourOrder('4 red 2 cream x10')).length).toBe(20);
    expect(parseColourOrder('4 red 2 cream x10').length).toBe(60);
    expect(parseColourOrder('tar, 2 kelp gull x2')).toEqual(['tar', 'kelp', 'kelp', 'gull', 'kelp', 'kelp', 'gull']);
  });
  it('takes quoted names, names with digits, and a lone x as a name', () => {
    expect(parseColourOrder('2 "tarred rope" cotton-8/2 1 x')).toEqual([
      'tarred rope',
      'tarred rope',
      'cotton-8/2',
      'x',
    ]);
  });
  it('says where a name is missing', () => {
    expect(() => parseColourOrder('4 red 2, 3 cream')).toThrow(/At character 7: expected a colour/);
    expect(() => parseColourOrder('0 red')).toThrow(/1 thread or more/);
  });
});

describe('parseLifts', () => {
  it('reads sets of shafts', () => {
    const plan = parseLifts('1+3 2+4 x2, 0, 1-4+7', 8);
    expect([0, 1, 2, 3, 4, 5].map((pick) => listMembers(plan, pick))).toEqual([
      [1, 3],
      [2, 4],
      [1, 3],
      [2, 4],
      [],
      [1, 2, 3, 4, 7],
    ]);
  });
  it('says where a set is wrong', () => {
    expect(() => parseLifts('1+', 8)).toThrow(/At character 3: expected a shaft after "\+"/);
    expect(() => parseLifts('1+9', 8)).toThrow(/At character 3: shaft 9/);
    expect(() => parseLifts('1+12', 10, 'treadle')).toThrow(/treadle 12; there are treadles 1 to 10/);
  });
});

describe('formatting', () => {
  it('writes what a weaver would', () => {
    expect(formatThreading(parseThreading('1-16 x40'))).toBe('1-16 x40');
    expect(formatThreading(parseThreading('point 8 x20'))).toBe('(1-8, 7-2) x20');
    expect(formatThreading(parseThreading('(1-4 x2, 5-8) x3, 1'))).toBe('(1-4 x2, 5-8) x3, 1');
    expect(formatThreading(Uint8Array.of(3, 3, 3, 0, 0, 1))).toBe('3 x3, 0, 0, 1');
    expect(formatColourOrder(parseColourOrder('4 red 2 cream x10'))).toBe('(4 red, 2 cream) x10');
    expect(formatColourOrder(['x10', 'tarred rope'])).toBe('1 "x10", 1 "tarred rope"');
    expect(formatLifts(parseLifts('1+3, 2+4, 0, 1-4+7'))).toBe('1+3, 2+4, 0, 1-4+7');
    expect(formatThreading(parseThreading('1-8, 8-1, 3'))).toBe('1-8, 8-1, 3');
    expect(formatThreading(new Uint8Array(0))).toBe('');
  });

  it(`reads back as it was (random orders, seed ${seed})`, () => {
    const shaft = fc.integer({ min: 0, max: 5 });
    const piece = fc.tuple(fc.array(shaft, { minLength: 1, maxLength: 6 }), fc.integer({ min: 1, max: 4 }));
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 6 }), (pieces) => {
        const numbers = pieces.flatMap(([values, times]) => Array.from({ length: times }, () => values).flat());
        expect([...parseThreading(formatThreading(Uint8Array.from(numbers)))]).toEqual(numbers);
        const names = numbers.map((n) => ['red', 'tarred rope', 'x', 'x2', 'kelp/2', 'Möwe'][n]);
        expect(parseColourOrder(formatColourOrder(names))).toEqual(names);
        const sets = setsFromLists(numbers.map((n) => [[], [1], [1, 2], [1, 2, 3, 64], [33, 40], [5, 7]][n]));
        expect([...parseLifts(formatLifts(sets))]).toEqual([...sets]);
      }),
      { seed, numRuns: 300 },
    );
  });
});

describe('any text', () => {
  it(`is read or refused at a character of it, never worse (seed ${seed})`, () => {
    const piece = fc.constantFrom(
      '1',
      '-',
      '8',
      '–',
      ',',
      ' ',
      '(',
      ')',
      'x',
      '×',
      '3',
      '0',
      '+',
      'red',
      '"',
      ';',
      'point ',
      '99',
    );
    const text = fc.oneof(
      fc.string({ maxLength: 30 }),
      fc.array(piece, { maxLength: 20 }).map((pieces) => pieces.join('')),
    );
    let read = 0;
    fc.assert(
      fc.property(text, (order) => {
        for (const parse of [parseThreading, parseColourOrder, parseLifts]) {
          try {
            parse(order);
            read++;
          } catch (error) {
            if (!(error instanceof DraftError)) throw error;
            expect(error.where.at).toBeGreaterThanOrEqual(1);
            expect(error.where.at).toBeLessThanOrEqual(order.length + 1);
          }
        }
      }),
      { seed, numRuns: 3000 },
    );
    expect(read).toBeGreaterThan(100);
  });
});

describe('runs', () => {
  it(`expand to what they were collapsed from, no two neighbours alike (seed ${seed})`, () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 2 })), (values) => {
        const runs = collapseRuns(values);
        expect(expandRuns(runs)).toEqual(values);
        for (let i = 1; i < runs.length; i++) expect(runs[i].value).not.toBe(runs[i - 1].value);
      }),
      { seed },
    );
  });
});
