import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { COUNT_SYSTEMS, type CountSystem, countFromTex, texFromCount } from '#engine/units/countSystems.ts';
import { formatCount } from '#engine/units/formatCount.ts';
import { CountError, parseCount } from '#engine/units/parseCount.ts';

const seed = 840;

describe('parseCount', () => {
  // Labels as shops and mills print them (common practice); tex by the system's definition.
  const labels: [string, CountSystem | undefined, number, number, CountSystem][] = [
    ['8/2', 'Ne', 147.635, 2, 'Ne'],
    ['2/18', 'worsted', 98.4235, 2, 'worsted'],
    ['worsted 18/2', undefined, 98.4235, 2, 'worsted'],
    ['Nm 28/2', undefined, 71.4286, 2, 'Nm'],
    ['Nm 2/28', undefined, 71.4286, 2, 'Nm'],
    ['28/2 Nm', undefined, 71.4286, 2, 'Nm'],
    ['Nm28/2', undefined, 71.4286, 2, 'Nm'],
    ['Nm 8.4/2', undefined, 238.095, 2, 'Nm'],
    ['Nm 4,8/1', undefined, 208.333, 1, 'Nm'],
    ['Ne 20/2', undefined, 59.0541, 2, 'Ne'],
    ['Ne 8/4', undefined, 295.271, 4, 'Ne'],
    ['2/30s cotton', undefined, 39.3694, 2, 'Ne'],
    ['20s cotton', undefined, 29.5271, 1, 'Ne'],
    ['Ne 10/12', undefined, 708.65, 12, 'Ne'],
    ['lea 16/2', undefined, 206.69, 2, 'linenLea'],
    ['linen 40/2', undefined, 82.676, 2, 'linenLea'],
    ['150 den', undefined, 16.6667, 1, 'denier'],
    ['150den', undefined, 16.6667, 1, 'denier'],
    ['300 den / 60-120 fil', undefined, 33.3333, 1, 'denier'],
    ['150 den / 38 fil', undefined, 16.6667, 1, 'denier'],
    ['167 dtex f48', undefined, 16.7, 1, 'dtex'],
    ['R 220 tex /2', undefined, 220, 2, 'tex'],
    ['R 220 tex/2', undefined, 220, 2, 'tex'],
    ['R148/2 tex', undefined, 148, 2, 'tex'],
    ['R148 tex /2', undefined, 148, 2, 'tex'],
    ['R148/2', undefined, 148, 2, 'tex'],
    ['2/16 Nm', undefined, 125, 2, 'Nm'],
    ['2/8 Nm wool', undefined, 250, 2, 'Nm'],
    ['8/4', 'Ne', 295.271, 4, 'Ne'],
    ['8/2 Ne cotton', undefined, 147.635, 2, 'Ne'],
    ['10/2 pearl cotton', undefined, 118.108, 2, 'Ne'],
    ['40/2 lea linen', undefined, 82.676, 2, 'linenLea'],
    ['150d', undefined, 16.6667, 1, 'denier'],
    ['30 tex x 12', undefined, 360, 12, 'tex'],
    ['Nm 1 x 4', undefined, 4000, 4, 'Nm'],
    ['1800 yd/lb', undefined, 275.586, 1, 'ydPerLb'],
    ['9s Galashiels', undefined, 275.586, 1, 'galashiels'],
    ['12 ysw', undefined, 161.476, 1, 'yorkshireSkein'],
    ['2560 m/kg', undefined, 390.625, 1, 'mPerKg'],
    ['230 m/100 g', undefined, 434.783, 1, 'mPerKg'],
    ['115 m per 50 g', undefined, 434.783, 1, 'mPerKg'],
    ['1800 yds per lb', undefined, 275.586, 1, 'ydPerLb'],
    ['2/60 spun silk', undefined, 19.6847, 2, 'spunSilk'],
  ];
  it.each(labels)('reads %j (system %s)', (label, given, tex, plies, system) => {
    const read = parseCount(label, given);
    expect(read.tex / tex).toBeCloseTo(1, 4);
    expect(read.plies).toBe(plies);
    expect(read.system).toBe(system);
  });

  it('lets the caller say which number is the plies', () => {
    expect(parseCount('Nm 3/2').tex).toBeCloseTo(1500, 6);
    expect(parseCount('Nm 3/2', undefined, 'singles first').tex).toBeCloseTo(666.667, 3);
  });

  const wrong: [string, number, RegExp][] = [
    ['8/2', 1, /which count system\?.*"Ne 8\/2"/],
    ['Ne', 1, /expected a number/],
    ['Ne 8/2.5/3', 5, /expected a number with/],
    ['Ne 0', 4, /above 0/],
    ['Xy 20', 1, /"Xy" is no count system/],
    ['2/8 wool', 1, /which count system/],
    ['Nm 20 tex', 1, /two count systems/],
    ['10 wpi', 4, /how wide a yarn lies/],
    ['30 tex x 2.5', 10, /2\.5 plies cannot be/],
    ['', 1, /expected a number/],
  ];
  it.each(wrong)('refuses %j at its place', (label, character, message) => {
    let error: unknown;
    try {
      parseCount(label);
    } catch (caught) {
      error = caught;
    }
    expect(error).toBeInstanceOf(CountError);
    expect((error as CountError).message).toMatch(message);
    expect((error as CountError).character).toBe(character);
  });
});

describe('any label', () => {
  it(`is read as a weight above 0 or refused at a character of it (seed ${seed})`, () => {
    const piece = fc.constantFrom(
      '8',
      '/',
      '2',
      'Nm',
      ' ',
      'x',
      's',
      'tex',
      'R ',
      'den',
      'f',
      '.',
      ',',
      'lea',
      'yd/lb',
      '0',
      '100 g',
    );
    const text = fc.oneof(
      fc.string({ maxLength: 100 }),
      fc.array(piece, { maxLength: 9 }).map((pieces) => pieces.join('')),
    );
    let read = 0;
    fc.assert(
      fc.property(text, (label) => {
        try {
          const { tex, plies } = parseCount(label, 'Ne');
          expect(tex).toBeGreaterThan(0);
          expect(Number.isInteger(plies) && plies >= 1).toBe(true);
          read++;
        } catch (error) {
          if (!(error instanceof CountError)) throw error;
          expect(error.character).toBeGreaterThanOrEqual(1);
          expect(error.character).toBeLessThanOrEqual(label.length + 1);
        }
      }),
      { seed, numRuns: 5000 },
    );
    expect(read).toBeGreaterThan(50);
  });
});

describe('formatCount', () => {
  it('writes labels as the trade does', () => {
    expect(formatCount(147.635, 2, 'Ne')).toBe('Ne 8/2');
    expect(formatCount(98.4235, 2, 'worsted')).toBe('worsted 2/18');
    expect(formatCount(220, 2, 'tex')).toBe('R 220 tex /2');
    expect(formatCount(150 / 9, 1, 'denier')).toBe('150 den');
    expect(formatCount(2480.27 / 9, 1, 'galashiels')).toBe('9 Galashiels');
    expect(formatCount(4000, 4, 'Nm')).toBe('Nm 1 x 4');
    expect(() => formatCount(100, 0, 'Ne')).toThrow(/whole number from 1/);
  });

  it(`is read back as the same yarn in every system (seed ${seed})`, () => {
    const systems = Object.keys(COUNT_SYSTEMS) as CountSystem[];
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 50_000, noNaN: true }),
        fc.integer({ min: 1, max: 24 }),
        fc.constantFrom(...systems),
        (tex, plies, system) => {
          const read = parseCount(formatCount(tex, plies, system));
          expect(read.system).toBe(system);
          expect(read.plies).toBe(plies);
          // Four significant digits are written: half a unit in the last is at most 0.05 %.
          expect(Math.abs(read.tex / tex - 1)).toBeLessThan(0.000501);
        },
      ),
      { seed, numRuns: 2000 },
    );
  });
});

describe('count systems', () => {
  it(`convert there and back (seed ${seed})`, () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 1e5, noNaN: true }),
        fc.constantFrom(...(Object.keys(COUNT_SYSTEMS) as CountSystem[])),
        (tex, system) => {
          expect(texFromCount(countFromTex(tex, system), system) / tex).toBeCloseTo(1, 12);
        },
      ),
      { seed, numRuns: 500 },
    );
  });
  it('refuse what is not above 0', () => {
    expect(() => texFromCount(0, 'Ne')).toThrow(RangeError);
    expect(() => countFromTex(Number.NaN, 'tex')).toThrow(RangeError);
  });
});
