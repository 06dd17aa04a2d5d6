import { describe, expect, test } from 'vitest';
import { coloursBy, coloursOfParts, mostColours, partsOf, readAmount, startOf } from '#app/yarn/colourParts.ts';
import { poolingWords } from '#app/yarn/poolingWords.ts';
import { colourAlong, colourRuns } from '#engine/yarn/colourRepeat.ts';
import { coloursOfYarn, coneOfColours, type YarnColours } from '#engine/yarn/yarnColours.ts';
import { readAllYarnPresets } from '#io/presets.ts';

const cards = (await readAllYarnPresets()).filter((card) => coloursOfYarn(card).of !== 'one');
const repeatOf = (colours: YarnColours) => {
  if (colours.of !== 'length') throw new Error('not along its length');
  return colours.colourRepeat;
};

describe('a yarn’s colours as the page lists them', () => {
  test.each(cards)('$id: listed and put together again they are the same', (card) => {
    const colours = coloursOfYarn(card);
    const again = coloursOfParts(colours.of, partsOf(colours), startOf(colours), colours);
    expect(again).toEqual(colours);
  });

  test('a repeat whose first colour begins later is the same yarn, told from that colour on', () => {
    const stops = [
      { atMm: 30, colour: '#2f5f8c' },
      { atMm: 70, colour: '#e6e0d0' },
    ];
    const told: YarnColours = { of: 'length', colourRepeat: { lengthMm: 100, startMm: 10, stops } };
    const again = repeatOf(coloursOfParts('length', partsOf(told), startOf(told), told));
    for (let mm = 1; mm < 200; mm += 3) expect(colourAlong(again, mm)).toBe(colourAlong(repeatOf(told), mm));
  });

  test('runs make the repeat, and a pick half as long pools; another width does not', () => {
    const runs = [60, 90, 50].map((amount, k) => ({ colour: ['#2f5f8c', '#e6e0d0', '#a8502f'][k], amount }));
    const repeat = repeatOf(coloursOfParts('length', runs, 0));
    expect(repeat.lengthMm).toBe(200);
    // Two picks take one repeat: by definition every second pick begins in the same colour.
    expect(poolingWords(repeat, 100, 'cm')).toMatch(/they pool/);
    const pick = (k: number) => colourRuns(repeat, k * 100, 100);
    expect(pick(2)).toEqual(pick(0));
    expect(poolingWords(repeat, 125, 'cm')).toMatch(/wander from side to side/);
    expect(colourRuns(repeat, 250, 125)).not.toEqual(colourRuns(repeat, 0, 125));
  });

  test('a start moved by one run moves the colours by it', () => {
    const runs = [60, 40].map((amount, k) => ({ colour: ['#2f5f8c', '#e6e0d0'][k], amount }));
    expect(colourAlong(repeatOf(coloursOfParts('length', runs, 0)), 1)).toBe('#2f5f8c');
    const moved = repeatOf(coloursOfParts('length', runs, 60));
    expect(colourRuns(moved, 0, 80)).toEqual([
      { from: 0, to: 0.5, colour: '#e6e0d0' },
      { from: 0.5, to: 1, colour: '#2f5f8c' },
    ]);
    // A start beyond the repeat is one in a later repeat.
    expect(repeatOf(coloursOfParts('length', runs, 160)).startMm).toBe(60);
  });

  test('parts by weight make shares of one', () => {
    const blend = coloursOfParts(
      'fibres',
      [
        { colour: '#2f5f8c', amount: 2 },
        { colour: '#e6e0d0', amount: 1 },
      ],
      0,
    );
    expect(blend.of === 'fibres' && blend.blend.map(({ share }) => share)).toEqual([0.66667, 0.33333]);
  });

  test('another way of colouring begins with the colours that are there', () => {
    const one: YarnColours = { of: 'one', coneColour: '#a8502f' };
    const plies = coloursBy('plies', one, 2);
    expect(plies).toEqual({ of: 'plies', plyColours: ['#a8502f', '#e6e0d0'] });
    expect(partsOf(coloursBy('length', plies, 2)).map(({ colour }) => colour)).toEqual(['#a8502f', '#e6e0d0']);
    expect(coloursBy('plies', coloursOfYarn(cards.find(({ id }) => id === 'woollen-tweed')!), 2)).toMatchObject({
      plyColours: { length: 2 },
    });
    expect(mostColours('plies', 4)).toBe(4);
  });

  test('a print keeps its motifs and the shares of its colours, and begins with motifs of a few mm', () => {
    const print = {
      motifMm: 1.2,
      colours: [
        { colour: '#e4dcc8', share: 0.25 },
        { colour: '#2f5f8c', share: 0.75 },
      ],
    };
    const before: YarnColours = { of: 'print', print };
    const parts = partsOf(before);
    expect(parts.map(({ amount }) => amount)).toEqual([25, 75]);
    expect(coloursOfParts('print', parts, 0, before)).toEqual(before);
    const first = coloursBy('print', { of: 'one', coneColour: '#a8502f' }, 1);
    expect(first).toMatchObject({ print: { motifMm: 3, colours: [{ share: 0.5 }, { share: 0.5 }] } });
    // One colour in its place is what the printed cone looks like from afar.
    expect(coloursBy('one', before, 1)).toEqual({ of: 'one', coneColour: coneOfColours(before, 1) });
  });

  test('what is no amount is told with where and what to do', () => {
    expect(readAmount('2,5', 'How much of colour 2', 'above 0')).toBe(2.5);
    expect(readAmount('0', 'Where the first pick begins', 'from 0')).toBe(0);
    expect(readAmount('0', 'How much of colour 2', 'above 0')).toMatch(/^How much of colour 2: "0" is not .* Write it/);
    expect(readAmount(' ', 'How much of colour 2', 'above 0')).toMatch(/nothing is written/);
  });
});
