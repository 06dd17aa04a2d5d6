import { describe, expect, test } from 'vitest';
import { bodyOf } from '#document/commands/versionCommands.ts';
import { readSampleJson, readSampleText, sampleFileName, writeSampleText } from '#io/sampleFile.ts';
import { smallSample, smallSampleFile } from '#tests/document/smallSample.ts';

type File = ReturnType<typeof smallSampleFile>;

function firstMessage(text: string): string {
  const outcome = readSampleText(text);
  return outcome.ok ? 'loaded' : outcome.problems[0].message;
}

describe('the sample file', () => {
  test('what is written reads back the same, and writing that again gives the same characters', () => {
    const sample = smallSample();
    const text = writeSampleText(sample);
    const outcome = readSampleText(text);
    expect(outcome).toEqual({ ok: true, value: sample });
    if (outcome.ok) expect(writeSampleText(outcome.value)).toBe(text);
  });

  test('format and version come first, compact notation stays as written, and each pick has a line', () => {
    const text = writeSampleText(smallSample());
    expect(text).toMatch(/^\{\n {2}"format": "forecloth-sample",\n {2}"version": 8,\n {2}"name"/);
    expect(text).toContain('"order": "2 tar 1 gull x8"');
    expect(text).toContain('"threading": "1-8 x3"');
    const lines = text.split('\n');
    expect(lines.filter((line) => line.trim().startsWith('{ "lift"'))).toHaveLength(12);
    expect(
      Math.max(...lines.filter((line) => !line.includes('"lift"')).map(({ length }) => length)),
    ).toBeLessThanOrEqual(120);
  });

  test('a kept version is written as its differences alone and read back whole', () => {
    const sample = smallSample();
    const file = JSON.parse(writeSampleText(sample));
    expect(file.versions[0].differences).toEqual([{ change: 'set', at: ['beat', 'firmness'], to: 0.3 }]);
    const { body } = sample.versions[0];
    expect(body).toEqual({ ...bodyOf(sample), beat: { ...sample.beat, firmness: 0.3 } });
    expect(body.picks).toBe(sample.picks);
  });

  test('a file name is made from the sample’s name', () => {
    expect(sampleFileName({ ...smallSample(), name: 'Quay, édge / 2:1' })).toBe('quay-e-dge-2-1.forecloth.json');
    expect(sampleFileName({ ...smallSample(), name: '???' })).toBe('sample.forecloth.json');
  });
});

describe('files that cannot be opened', () => {
  test.each([
    ['', /is empty/],
    ['\ufeff  ', /is empty/],
    [
      '{"format": "forecloth-sample",\n  "version": 1,\n  "name": "x" "y"}',
      /changed by hand.* at line 3, column 15.*mend that place/i,
    ],
    ['{"format": "forecloth-sample", "ver', /damaged.*breaks off before its end.*another copy/i],
    ['[1, 2]', /is not a sample/],
    ['{"format": "forecloth-loom", "version": 1}', /"forecloth-loom", not "forecloth-sample"/],
    ['{"format": "forecloth-sample", "version": 9}', /newer Forecloth.*Open it with the newer one/],
    ['PNG\r\n', /no sample.*begins with "\{".*choose a sample/i],
  ])('%j', (text, words) => {
    expect(firstMessage(text)).toMatch(words);
  });

  test('a file with a byte-order mark is opened', () => {
    expect(readSampleText(`\ufeff${writeSampleText(smallSample())}`).ok).toBe(true);
  });

  // Each case breaks one thing; the problem must name the place in words and as a path, and say what to do.
  const cases: [string, (file: File) => void, string, RegExp][] = [
    [
      'an unknown yarn',
      (f) => Object.assign((f.picks[11] as { passes: object[] }).passes[0], { strands: ['mud'] }),
      'pick 12, pass 1, strands',
      /yarn "mud".*add the yarn/i,
    ],
    [
      'a shaft the loom lacks',
      (f) => Object.assign(f.picks[2] as object, { lift: [9] }),
      'pick 3, lift',
      /shaft 9, but there are 8/,
    ],
    [
      'ends back to front',
      (f) => Object.assign((f.picks[4] as { passes: object[] }).passes[1], { fromEnd: 12, toEnd: 5 }),
      'pick 5, pass 2',
      /end 12 to end 5/,
    ],
    [
      'an end beyond the warp',
      (f) => Object.assign((f.picks[4] as { passes: object[] }).passes[1], { toEnd: 25 }),
      'pick 5, pass 2',
      /the warp has 24/,
    ],
    [
      'a selvedge inside the cloth',
      (f) => Object.assign((f.picks[4] as { passes: object[] }).passes[1], { ends: 'selvedge' }),
      'pick 5, pass 2',
      /at end 12, inside the cloth/,
    ],
    [
      'too few ends in the order',
      (f) => Object.assign(f.warp, { order: '2 tar 1 gull x7' }),
      'warp, order',
      /21 ends, but the warp has 24/,
    ],
    ['order that cannot be read', (f) => Object.assign(f.warp, { order: '2 tar 1 ?' }), 'warp, order', /character 7/],
    [
      'threading beyond the loom',
      (f) => Object.assign(f.warp, { threading: '1-12 x2' }),
      'warp, threading',
      /end 9 on shaft 9/,
    ],
    [
      'a tie-up on a direct-lift loom',
      (f) => Object.assign(f.warp, { tieUp: [[1]] }),
      'warp, tieUp',
      /lifts its shafts directly/,
    ],
    ['a warp too wide', (f) => Object.assign(f.loom, { weavingWidthMm: 20 }), 'warp, reed', /30 mm wide.*weaves 20 mm/],
    ['a misspelt field', (f) => Object.assign(f.beat, { fimness: 1 }), 'beat, fimness', /not a field/],
    ['a mismatched card', (f) => Object.assign(f.yarns.kelp, { id: 'weed' }), 'yarn "kelp"', /id "weed"/],
    ['a negative count', (f) => Object.assign(f.yarns.kelp, { tex: -3 }), 'yarn "kelp", tex', /between 0.5 and/],
    [
      'a newer yarn card',
      (f) => Object.assign(f.yarns.kelp, { version: 4 }),
      'yarn "kelp", version',
      /newer Forecloth/,
    ],
    [
      'a version that fits nothing',
      (f) =>
        f.versions.push({
          name: 'x',
          differences: [{ change: 'run', at: ['picks'], from: 11, field: ['lift'], to: [[1], [2]] }],
        }),
      'version 2, difference 1',
      /entries 12 to 13 are asked for, 12 are here/,
    ],
    [
      'a version that cannot be woven',
      (f) => f.versions.push({ name: 'x', differences: [{ change: 'set', at: ['loom', 'shafts'], to: 4 }] }),
      'version 2, warp, threading',
      /shaft 5, but the loom has 4/,
    ],
    [
      'a version reaching for a prototype',
      (f) => f.versions.push({ name: 'x', differences: [{ change: 'set', at: ['__proto__', 'polluted'], to: 1 }] }),
      'version 2, difference 1',
      /is not a field/,
    ],
  ];
  test.each(cases)('%s', (_, breakIt, where, words) => {
    const file = smallSampleFile();
    breakIt(file);
    const outcome = readSampleJson(file);
    const [problem] = outcome.ok ? [] : outcome.problems;
    expect(problem?.where).toBe(where);
    expect(problem?.message).toMatch(words);
    expect(problem?.remedy).not.toBe('');
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });

  test('passes that overlap by halves are refused; inlay, neighbours and dovetailing are not', () => {
    const read = (passes: object[]) => {
      const file = smallSampleFile();
      file.picks[0] = {
        lift: [1],
        passes: passes.map((pass) => ({ strands: ['kelp'], enters: 'left', ends: 'slit', ...pass })),
      };
      const outcome = readSampleJson(file);
      return outcome.ok ? 'loaded' : `${outcome.problems[0].where}: ${outcome.problems[0].what}`;
    };
    expect(read([{ toEnd: 12 }, { fromEnd: 13 }])).toBe('loaded');
    expect(read([{}, { fromEnd: 5, toEnd: 9 }])).toBe('loaded');
    expect(read([{}, { ends: 'cut' }])).toBe('loaded');
    expect(read([{ toEnd: 12, ends: 'interlock' }, { fromEnd: 12 }])).toBe('loaded');
    expect(read([{ toEnd: 12 }, { fromEnd: 12 }])).toMatch(/^pick 1, pass 2: overlaps pass 1 on ends 12 to 12/);
    expect(read([{ fromEnd: 8 }, { toEnd: 12 }])).toMatch(/^pick 1, pass 1: overlaps pass 2 on ends 8 to 12/);
    expect(read([{ toEnd: 20 }, { fromEnd: 2, toEnd: 4 }, { fromEnd: 10 }])).toMatch(
      /^pick 1, pass 3: overlaps pass 1/,
    );
  });
});
