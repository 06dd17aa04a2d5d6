import { describe, expect, it } from 'vitest';
import { doubtWords } from '#app/colour/doubtWords.ts';
import { patchAbout, patchBetween, patchByKey } from '#app/colour/patches.ts';
import { cardDevicePx, cardScaleWords, cardSideMm, createCardPictures } from '#app/model/cardPictures.ts';
import { usedColours } from '#app/model/usedColours.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { cottonCard } from '#tests/document/smallSample.ts';

const card = (id: string, colour: string) => cottonCard(id, colour) as YarnCard;
const kelp = card('kelp', '#44583b');
const pixels = () => new Uint8ClampedArray(cardDevicePx * cardDevicePx * 4);

describe('pictures of wound cards', () => {
  it('are wished for while asked for, and once each', () => {
    const cards = createCardPictures();
    expect(cards.next('window')).toBeUndefined();
    const end = cards.ask(kelp);
    const endAgain = cards.ask({ ...kelp, id: 'other', name: 'the same under another name' });
    const wish = cards.next('window')!;
    expect(wish.yarn).toBe(kelp);
    const drawn = pixels();
    cards.keep(wish, drawn);
    expect(cards.next('window')).toBeUndefined();
    expect(cards.pictureOf(kelp, 'window')).toBe(drawn);
    expect(cards.next('raking')).toBeDefined();
    // Until it is drawn in the other light.
    expect(cards.pictureOf(kelp, 'raking')).toBe(drawn);
    end();
    expect(cards.next('raking')).toBeDefined();
    endAgain();
    expect(cards.next('raking')).toBeUndefined();
  });

  it('of another colour is another; one that cannot be drawn is not wished for again', () => {
    const cards = createCardPictures();
    cards.ask(kelp);
    cards.keep({ yarn: kelp, light: 'window' }, pixels());
    const dyed = { ...kelp, coneColour: '#c03020' };
    expect(cards.pictureOf(dyed, 'window')).toBeUndefined();
    cards.ask(dyed);
    cards.refuse(cards.next('window')!);
    expect(cards.next('window')).toBeUndefined();
  });

  it('are let go, the longest unused first', () => {
    const cards = createCardPictures();
    const yarns = Array.from({ length: 140 }, (_, k) => card('buoy', `#${(k + 1).toString(16).padStart(6, '0')}`));
    for (const yarn of yarns) {
      cards.keep({ yarn, light: 'window' }, pixels());
      // Always in use.
      expect(cards.pictureOf(yarns[0], 'window')).toBeDefined();
    }
    expect(cards.pictureOf(yarns[1], 'window')).toBeUndefined();
    expect(cards.pictureOf(yarns[139], 'window')).toBeDefined();
  });

  it('say their scale', () => {
    expect(cardScaleWords(0.4)).toBe('twice life size');
    expect(cardScaleWords(4)).toBe('life size');
    expect(cardScaleWords(5)).toBe('half life size');
    expect(cardScaleWords(10)).toBe('1/4 of life size');
    // 56 px at 96 to the inch, at twice life size.
    expect(cardSideMm(0.4)).toBeCloseTo((56 * 25.4) / 96 / 2, 9);
  });
});

describe('patches on a photograph', () => {
  const size = { width: 400, height: 300 };

  it('keep inside the picture', () => {
    expect(patchAbout(size, 0, 300)).toEqual({ x: 0, y: 252, width: 48, height: 48 });
    expect(patchBetween(size, 390, 290, 600, 600)).toEqual({ x: 390, y: 290, width: 10, height: 10 });
  });

  it('are moved by arrows and resized about their middle with Shift', () => {
    const patch = { x: 100, y: 100, width: 40, height: 40 };
    expect(patchByKey(size, patch, 'ArrowLeft', false)).toEqual({ ...patch, x: 94 });
    expect(patchByKey(size, patch, 'ArrowDown', false)).toEqual({ ...patch, y: 106 });
    expect(patchByKey(size, patch, 'ArrowRight', true)).toEqual({ ...patch, x: 97, width: 46 });
    expect(patchByKey(size, patch, 'ArrowUp', true)).toEqual({ ...patch, y: 97, height: 46 });
    expect(patchByKey(size, patch, 'Tab', false)).toBeUndefined();
    expect(patchByKey(size, { x: 0, y: 0, width: 4, height: 4 }, 'ArrowLeft', true)?.width).toBe(4);
  });
});

describe('colours in use', () => {
  it("are the sample's and then the stock's, each once with the yarns that have it", () => {
    const gull = card('gull', '#E8E4DA');
    const used = usedColours([kelp, gull], [card('foam', '#e8e4da'), card('wave', '#e8e4da'), card('tar', '#2a2523')]);
    expect(used).toEqual({
      sample: [
        { hex: '#44583b', names: 'kelp' },
        { hex: '#e8e4da', names: 'gull' },
      ],
      stock: [{ hex: '#2a2523', names: 'tar' }],
    });
    const three = ['foam', 'wave', 'spray'].map((name) => card(name, '#ffffff'));
    expect(usedColours([], three).stock[0].names).toBe('foam, wave and 1 more');
  });
});

describe('what makes a photograph doubtful', () => {
  it('is told with what to do', () => {
    expect(doubtWords({ kind: 'overexposed', patch: 'yarn', share: 0.12 })).toMatch(
      /^12 % of the yarn's patch.*less exposure/,
    );
    expect(doubtWords({ kind: 'uneven', ratio: 1.3 })).toMatch(/by 1\.30? times.*mark a smaller patch/);
  });
});
