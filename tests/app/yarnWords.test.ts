import { describe, expect, test } from 'vitest';
import { careLines, deference } from '#app/yarn/careWords.ts';
import { leftOnCard, leftWords } from '#app/yarn/leftWords.ts';
import { emptyForm, formTrouble, type OwnYarnForm, readForm } from '#app/yarn/ownYarnForm.ts';
import { poolingWords } from '#app/yarn/poolingWords.ts';
import { readNumber } from '#app/yarn/readNumber.ts';
import { sourceRows } from '#app/yarn/sourceRows.ts';
import { idField } from '#document/schema/fields.ts';
import { validate } from '#document/schema/validate.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { yarnIdFromName } from '#document/yarnId.ts';
import { ownYarn } from '#engine/yarn/ownYarn.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import { yarnsBeyondFacts, yarnsOfTheirOwn } from '#tests/helpers/yarnsBeyondFacts.ts';
import yarnFacts from '#tests/reference/data/yarn-facts.json';

const cards = await readAllYarnPresets();
const cardOf = (id: string) => cards.find((card) => card.id === id)!;

describe('where a yarn’s figures come from', () => {
  test('every yarn of the facts is there', () => {
    const beyond = [...Object.keys(yarnsBeyondFacts), ...yarnsOfTheirOwn];
    expect(cards.map(({ id }) => id).sort()).toEqual([...yarnFacts.yarns.map(({ id }) => id), ...beyond].sort());
  });

  test.each(cards)('$id: each figure has its words', (card) => {
    const rows = sourceRows(card, 'uk', 'cm');
    expect(rows.length).toBeGreaterThan(6);
    for (const { name, figure, from } of rows) {
      expect(figure, name).toMatch(/\S/);
      expect(figure, name).not.toMatch(/NaN|undefined|Infinity/);
      expect(from, name).not.toBe('not said');
      // The cards' own shorthand is put into words.
      expect(from, name).not.toMatch(/^read( \(|$)|^computed( \(E|$)|6x free/);
    }
  });

  /** What names and shows a yarn; its other fields are figures, and each has a row of its own. */
  const notFigures = [
    ...['format', 'version', 'id', 'name', 'fibre', 'count', 'shape', 'ranges', 'left', 'cautions'],
    ...['provenance', 'sources'],
  ];

  test.each(cards)('$id: no figure of the card is left out, and each says what its card says of it', (card) => {
    const rows = sourceRows(card, 'uk', 'inch');
    const figures = Object.keys(card).filter((field) => !notFigures.includes(field));
    expect(rows.map(({ field }) => field).sort()).toEqual(figures.sort());
    for (const { field, from, guess } of rows) {
      const told = card.provenance![field!];
      // Of what stands in brackets the row keeps every word.
      expect(from, field).toContain(/\((?!beam|E x)(.*)\)$/.exec(told)?.[1] ?? '');
      expect(guess, field).toBe(!/^read|^wraps: read/.test(told));
    }
  });

  test('figures of what a yarn is made of, in words', () => {
    const figureOf = (id: string, field: keyof YarnCard) =>
      sourceRows(cardOf(id), 'uk', 'cm').find((row) => row.field === field)!.figure;
    expect(figureOf('painted-net-strip-25', 'mesh')).toBe('hexagons, a bar every 2 mm; 70 % of a bar is fibre');
    expect(figureOf('painted-net-strip-25', 'paint')).toBe('#3f7f86 on 35 % of it, in patches of 8 mm');
    expect(figureOf('painted-net-strip-25', 'glitter')).toBe('15 to the cm², 0.4 mm across, #d9dde2');
    expect(figureOf('woollen-tweed', 'blend')).toMatch(/^58 % #85705a, 25 % #b3a07e, /);
    expect(figureOf('cotton-slub', 'slubs')).toBe('2–4 times as wide, 20–80 mm long, one every 100–500 mm');
    expect(figureOf('chenille-stem-6', 'core')).toBe('0.8 mm, #5d5c58, metal');
  });

  test('what was read is told as sure, the rest as a guess', () => {
    const rows = sourceRows(cardOf('mohair-brushed'), 'uk', 'cm');
    const of = (name: string) => rows.find((row) => row.name === name)!;
    expect(of('Count')).toMatchObject({ figure: '200 tex', from: 'read in a published source', guess: false });
    expect(of('Fibre in its section')).toMatchObject({ figure: '≈ 39.7 %', guess: true });
    expect(of('Bending stiffness').from).toMatch(/fibres bending each by itself, to six times that/);
  });
});

describe('care', () => {
  test.each(cards)('$id: what its card says, and whose word counts', (card) => {
    const lines = careLines(card);
    expect(lines.join(' ').toLowerCase()).toContain(card.cautions!.toLowerCase());
    expect(lines.at(-1)).toBe(deference);
  });

  // Each kind by its material, whatever its card's cautions happen to say.
  test.each([
    [
      'Wire',
      ['wire-copper-0.16', 'wire-copper-0.2', 'wire-silver-0.1', 'wire-steel-0.1', 'silk-steel', 'chenille-stem-6'],
    ],
    [
      'Film',
      [
        'metal-film-1-64',
        'metal-film-1-69',
        'metal-film-supported',
        'metal-film-twisted',
        'holo-film-strip-3x50',
        'holo-card-strip-5',
        'stretch-film-strip-10',
        'ldpe-strip-20',
      ],
    ],
    [
      'Loose fibre',
      [
        'loose-fibre-inlay',
        'wool-roving',
        'wool-pencil-roving',
        'mohair-brushed',
        'jute-2ply',
        'viscose-chenille-1450',
      ],
    ],
    [
      'Heat',
      [
        'mono-nylon-0.20',
        'acrylic-dk',
        'variegated-acrylic-dk',
        'ldpe-strip-20',
        'ribbon-satin-6',
        'tulle-strip-25',
        'acetate-filament-150',
        'elastane-covered-156',
        'painted-net-strip-25',
      ],
    ],
  ])('%s', (danger, ids) => {
    for (const id of ids) expect(careLines(cardOf(id)).join('\n'), id).toMatch(new RegExp(`^${danger}`, 'm'));
    expect(careLines(cardOf('linen-16-2')).join('\n')).not.toMatch(new RegExp(`^${danger}`, 'm'));
  });

  test('local codes and the maker are deferred to', () => {
    expect(deference).toMatch(/maker’s advice.*local fire and safety codes/);
  });
});

describe('the form', () => {
  const form = (part: Partial<OwnYarnForm>) => readForm({ ...emptyForm, ...part }, 'quay', 'cm');

  test.each([
    ['', undefined],
    [' 12,5 ', 12.5],
    ['.5', 0.5],
    ['12.', 12],
    ['12 m', Number.NaN],
    ['1e3', Number.NaN],
    ['1,2,3', Number.NaN],
  ])('"%s" reads as %d', (text, value) => {
    expect(readNumber(text)).toEqual(value);
  });

  test('yards and inches are measured in as well as metres and cm', () => {
    const written = { ...emptyForm, grams: '10', length: '40', turns: '20', leftLength: '100' };
    const metric = readForm({ ...written, over: '2,5' }, 'quay', 'cm');
    expect(metric.measured).toMatchObject({ metres: 40, wraps: { turns: 20, overMm: 25 } });
    const inches = readForm(written, 'quay', 'inch');
    // 1 yd = 0.9144 m and 1 in = 25.4 mm, by definition.
    expect(inches.measured.metres).toBeCloseTo(36.576, 10);
    expect(inches.measured.wraps).toEqual({ turns: 20, overMm: 25.4 });
    expect(inches.left).toEqual({ metres: 91.44 });
  });

  test('what cannot be read is told by name, and stops', () => {
    const { troubles, measured } = form({ grams: 'ten', plies: '2.5', turns: '-3' });
    expect(measured.grams).toBeUndefined();
    expect(troubles.map(({ parts }) => parts[0])).toEqual(['plies', 'grams', 'turns']);
    expect(troubles.every(({ stops }) => stops)).toBe(true);
    expect(troubles[1].message).toMatch(/The weight: "ten" is not a figure above 0. Write it like/);
  });

  test('a strip’s readings are not those of a yarn', () => {
    expect(form({ stripWidthMm: '8', turnsPressed: '4' }).measured.stripWidthMm).toBeUndefined();
    const strip = form({ kind: 'cloth', stripWidthMm: '8', turnsPressed: '4' }).measured;
    expect(strip.stripWidthMm).toBe(8);
    expect(strip.wrapsPressed).toBeUndefined();
  });

  test('a net is asked for its holes and not for its thickness, a strip for its other side', () => {
    const net = { kind: 'net', holeToHoleMm: '2', strandMm: '0.3', gaugeMm: '0.2', backColour: '#ffffff' } as const;
    expect(form(net).measured).toMatchObject({ shape: 'strip', kind: 'net', holeToHoleMm: 2, strandMm: 0.3 });
    expect(form(net).measured.gaugeMm).toBeUndefined();
    expect(form(net).measured.backColour).toBeUndefined();
    expect(form({ ...net, otherSide: 'own', backLustre: 'matte' }).measured).toMatchObject({
      backColour: '#ffffff',
      backLustre: 'matte',
    });
    expect(form({ ...net, kind: 'spun', otherSide: 'own' }).measured).toMatchObject({ shape: 'round' });
    expect(form({ ...net, kind: 'spun', otherSide: 'own' }).measured.backColour).toBeUndefined();
    expect(form({ kind: 'net', holeToHoleMm: 'two' }).troubles[0]).toMatchObject({
      parts: ['holeToHoleMm'],
      stops: true,
    });
  });

  test('a photographed colour says so on its card, one chosen after it does not', () => {
    const colourFrom = 'measured by you: photographed beside a grey card, 18 %';
    const dyed = { grams: '20', length: '40', coneColour: '#1b998b' };
    const fromOf = (part: Parameters<typeof form>[0]) => ownYarn(form(part).measured).record!.provenance!.coneColour;
    expect(fromOf({ ...dyed, colourFrom })).toBe(colourFrom);
    expect(fromOf({ ...dyed, colourFrom: '' })).toBe('chosen by you');
  });

  test('a contradiction points to its place in the form', () => {
    const { measured } = form({ grams: '20', length: '40', turns: '90' });
    const [trouble] = ownYarn(measured).problems.map(formTrouble);
    expect(trouble.parts).toEqual(['turns', 'grams', 'length']);
    expect(trouble.message).toMatch(/^90 wraps in 25 mm and 500 tex do not go together: .*\. Count again .*\.$/);
  });

  test.each(['net twine', 'Möwe Nr. 3', '3 mm cord', 'x2 twist', '  ', '海', 'A'.repeat(200)])(
    '"%s" makes an id',
    (name) => {
      expect(validate(idField, yarnIdFromName(name)).ok).toBe(true);
    },
  );
});

describe('what is left, in words', () => {
  const card = (left: YarnCard['left']): YarnCard => ({ ...cardOf('cotton-8-2'), left });
  const takes = (value: number) => ({ metres: { value, low: 0.9 * value, high: 1.1 * value }, inWarp: false });

  test('grams become metres; whether they suffice is said', () => {
    // 100 g of 147.6 tex: 677.5 m.
    expect(leftOnCard(card({ grams: 100 }), 'cm')).toBe('≈ 678 m left');
    expect(leftOnCard(card({ metres: 40 }), 'cm')).toBe('40 m left');
    expect(leftWords(card({ grams: 100 }), takes(50), 'cm')).toMatchObject({ short: false });
    expect(leftWords(card({ metres: 40 }), takes(60), 'cm')).toEqual({
      text: '40 m left. This sample takes about 60 m of it. That is too little by about 20 m.',
      short: true,
    });
    expect(leftWords(card({ metres: 40 }), takes(41), 'cm')!.text).toMatch(/may not be enough/);
    expect(leftWords(card({ metres: 91.44 }), takes(50), 'inch')!.text).toMatch(/^100 yd left/);
    expect(leftOnCard(card(undefined), 'cm')).toBeUndefined();
    expect(leftWords(card(undefined), { ...takes(5), inWarp: true }, 'cm')!.text).toMatch(
      /5 m of it, loom waste apart/,
    );
  });
});

describe('pooling, in words', () => {
  const repeat = cardOf('variegated-acrylic-dk').colourRepeat!;

  test('bands, pools, or wanders, by how much of the repeat a pick takes', () => {
    expect(poolingWords(repeat, undefined, 'cm')).toBe('Its 4 colours come again every 1.2 m.');
    expect(poolingWords(repeat, repeat.lengthMm / 40, 'cm')).toMatch(/40 picks of this width\. .*in bands/);
    expect(poolingWords(repeat, repeat.lengthMm / 2, 'cm')).toMatch(/2 picks of this width\. .*they pool/);
    expect(poolingWords(repeat, repeat.lengthMm / 2.5, 'cm')).toMatch(/wander from side to side/);
    expect(poolingWords(repeat, undefined, 'inch')).toMatch(/every 1\.31 yd/);
  });
});
