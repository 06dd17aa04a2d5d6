import { describe, expect, test } from 'vitest';
import { allFormats } from '#io/migrations/formats.ts';
import { assertContiguous, type FileFormat, migrate } from '#io/migrations/migrate.ts';

/** A format with a history: version 2 renamed a field, version 3 changed its unit, version 4 split it. */
const ropeFormat: FileFormat = {
  format: 'harbour-rope',
  inWords: 'a rope',
  newest: 4,
  migrations: [
    { to: 2, what: 'girth is called thicknessCm', up: ({ girth, ...rest }) => ({ ...rest, thicknessCm: girth }) },
    {
      to: 3,
      what: 'thickness in mm',
      up: ({ thicknessCm, ...rest }) => ({ ...rest, thicknessMm: (thicknessCm as number) * 10 }),
    },
    {
      to: 4,
      what: 'strands listed',
      up: ({ strands, ...rest }) => ({ ...rest, strands: (strands as string).split(',') }),
    },
  ],
};

describe('migrations', () => {
  test('a file of any version goes through every later step and none before', () => {
    const newest = { format: 'harbour-rope', version: 4, thicknessMm: 20, strands: ['tar', 'hemp'] };
    const files = [
      { format: 'harbour-rope', version: 1, girth: 2, strands: 'tar,hemp' },
      { format: 'harbour-rope', version: 2, thicknessCm: 2, strands: 'tar,hemp' },
      { format: 'harbour-rope', version: 3, thicknessMm: 20, strands: 'tar,hemp' },
      newest,
    ];
    for (const file of files) expect(migrate(file, ropeFormat)).toEqual({ ok: true, value: newest });
  });

  test('the file given is not touched', () => {
    const file = Object.freeze({ format: 'harbour-rope', version: 1, girth: 2, strands: 'tar' });
    migrate(file, ropeFormat);
    expect(file).toEqual({ format: 'harbour-rope', version: 1, girth: 2, strands: 'tar' });
  });

  test.each([
    [{ format: 'harbour-rope', version: 5 }, /newer Forecloth.*up to version 4/],
    [{ format: 'harbour-rope', version: 999 }, /is 999/],
    [{ format: 'harbour-rope', version: 1.5 }, /whole number/],
    [{ format: 'harbour-rope', version: '1' }, /whole number/],
    [{ format: 'harbour-rope' }, /whole number/],
    [{ format: 'harbour-chain', version: 1 }, /"harbour-chain", not "harbour-rope"/],
    [{ version: 1 }, /is not a rope/],
    [[], /is not a rope/],
    [null, /is not a rope/],
    [{ format: 'harbour-rope', version: 3, thicknessMm: 20, strands: 7 }, /could not be brought to version 4/],
  ])('%j is refused in plain words', (file, words) => {
    const outcome = migrate(file, ropeFormat);
    expect(outcome.ok ? '' : outcome.problems[0].message).toMatch(words);
  });

  test('a gap, a repeat or a missing step in the chain is a mistake in the program', () => {
    const [second, third, fourth] = ropeFormat.migrations;
    const broken = [
      [second, fourth],
      [second, third],
      [second, second, third, fourth],
      [third, second, fourth],
    ];
    for (const migrations of broken)
      expect(() => assertContiguous({ ...ropeFormat, migrations })).toThrow(/migrations go/);
    expect(() => assertContiguous(ropeFormat)).not.toThrow();
  });

  test('the chains of all our formats are whole', () => {
    for (const format of allFormats) expect(() => assertContiguous(format)).not.toThrow();
  });
});
