import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { bendWords } from '#app/after/bendWords.ts';
import { cautionWords } from '#app/after/cautionWords.ts';
import { cutOfKind } from '#app/after/cutOfKind.ts';
import { cutWords } from '#app/after/cutWords.ts';
import { brushWords, dyeWords } from '#app/after/effectWords.ts';
import { foilWords } from '#app/after/foilWords.ts';
import { newTreatment, treatmentNames } from '#app/after/newTreatment.ts';
import { treatmentSchema } from '#document/schema/afterLoomSchema.ts';
import { validate } from '#document/schema/validate.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { smallSample } from '#tests/document/smallSample.ts';

const preset = (id: string): YarnCard => JSON.parse(readFileSync(`presets/yarns/${id}.json`, 'utf8'));
const sample = smallSample();
const treatments = treatmentNames.map(([kind]) => newTreatment(kind, sample));

describe('what stands when a treatment is added', () => {
  test('is one that a sample may hold, of every kind', () => {
    for (const treatment of treatments) expect(validate(treatmentSchema, treatment).ok).toBe(true);
  });

  test('a cut keeps its line through every kind of cut, and holds what each needs', () => {
    const cut = newTreatment('cut', sample);
    if (cut.kind !== 'cut') throw new Error('no cut');
    const line = [...cut.line, { end: 3, pick: 9 }];
    for (const closed of [false, true]) {
      let changed = closed ? { ...cut, line, closed } : { ...cut, line };
      for (const what of ['through', 'layer', 'floats', 'through', 'floats', 'layer'] as const) {
        changed = cutOfKind(changed, what);
        expect(validate(treatmentSchema, changed).ok, `${what}, closed ${closed}`).toBe(true);
        expect(changed.line).toEqual(line);
      }
    }
  });
});

describe('words for what a treatment does', () => {
  const yarns = [
    preset('cotton-8-2'),
    preset('merino-nm-28-2'),
    preset('metal-film-1-64'),
    preset('rayon-filament-300'),
  ];

  test('which yarns take a dye, paler or not at all', () => {
    const words = dyeWords({ kind: 'overdye', dye: 'fibreReactive', colour: '#336699', depth: 1 }, yarns).join(' ');
    expect(words).toMatch(/Takes it: cotton 8\/2 and viscose rayon filament 300 den\./);
    expect(words).toMatch(/Takes it paler, about 50 %: merino Nm 28\/2\./);
    expect(words).toMatch(/film or metal lets no dye in: metallised film yarn/);
  });

  test('which a brush raises', () => {
    const words = brushWords({ kind: 'brush', side: 'face', strength: 'raised' }, yarns).join(' ');
    expect(words).toMatch(/Raised where it lies uppermost: cotton 8\/2 and merino Nm 28\/2\./);
    expect(words).toMatch(/Gives the brush nothing, and may snag: viscose rayon filament/);
    expect(words).toMatch(/A strip gives the brush nothing: metallised film/);
  });

  test('every caution defers to the maker and to local rules, and knows film, elastic and wire', () => {
    for (const treatment of treatments) {
      expect(cautionWords(treatment, yarns)).toMatch(/The maker’s sheet and your local rules come first\.$/);
    }
    const [dye, , clip] = treatments;
    expect(cautionWords(dye, yarns)).toMatch(/film curls and dulls/);
    expect(cautionWords(dye, [preset('cotton-8-2')])).not.toMatch(/film/);
    expect(cautionWords(dye, [preset('elastane-covered-156')])).toMatch(/elastic slackens/);
    expect(cautionWords(clip, [preset('wire-copper-0.2')])).toMatch(/Cut wire is sharp/);
  });

  test('what was cut, by number', () => {
    const clip = treatments[2];
    const weightGPerM2 = { value: 200, low: 180, high: 220 };
    const report = { cuts: 1, fallen: 0, loose: 3, goneShare: 0.034 };
    const words = cutWords(clip, { report, cut: { reports: [report], weightGPerM2 } }, 'cm').join(' ');
    expect(words).toMatch(/^1 float is clipped, 3.4 % of the weight gone\. 3 pieces are held by a few crossings only/);
    expect(words).not.toMatch(/fall/);
  });

  test('how much leaf holds, and why not more', () => {
    const leaf = { row: 2, heightMm: 0.2, share: 0.8, depthMm: 0.123 };
    const foil = { kind: 'foil', side: 'face', colour: '#c9a24a', share: 0.8 } as const;
    expect(foilWords(foil, leaf, 'cm')).toEqual([
      'It covers about 80 % of the face as one sees it square on, down to 0.12 mm below the highest threads.',
    ]);
    expect(foilWords({ ...foil, share: 1 }, leaf, 'cm')[1]).toMatch(/More does not face the press/);
  });
});

describe('words for a bend by hand', () => {
  const told = { wefts: 1, heightMm: 12, bendToDegrees: 67.4, drawnInMm: 3, carriesMm: 48 };

  test('tell the hand how far to go, and what the picture leaves out', () => {
    const words = bendWords(told, 'cm').join(' ');
    expect(words).toMatch('1 weft stands out by 1.2 cm');
    expect(words).toMatch('Bend to 67°');
    expect(words).toMatch('0.3 cm, which the picture leaves out');
  });

  test('say why nothing is bent, and what to do', () => {
    expect(bendWords({ ...told, nothing: 'tooTight', leastRadiusMm: 1.5 }, 'cm')[0]).toMatch(
      /under 1.5 mm. Give a wider/,
    );
    for (const nothing of ['onLoom', 'offTheCloth', 'noWire', 'tooSteep'] as const)
      expect(bendWords({ ...told, nothing }, 'cm').join(' ')).not.toMatch('stands out by');
  });
});
