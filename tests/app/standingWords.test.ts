import { describe, expect, it } from 'vitest';
import { smallestPocketMm } from '#app/model/smallestPocket.ts';
import { crowdingWords, curlWords, holdLines, puckerWords, reliefWords } from '#app/words/standingWords.ts';
import type { HeldWeft } from '#engine/cloth/hold/holdOfWefts.ts';
import type { Relief } from '#engine/cloth/relief/layRelief.ts';
import { contrastLeft } from '#render/eyeSpread.ts';

const flat: Relief = {
  pockets: 2,
  heightMm: { value: 0, low: 0, high: 0 },
  spanMm: 18,
  excessAcross: 0,
  excessAlong: 0,
  side: 'face',
  waddingMm: 0,
  layerMm: 0.6,
};

describe('pockets in words', () => {
  it('say which to add where nothing stands', () => {
    expect(reliefWords(flat, undefined, 'cm').join(' ')).toMatch(
      /flat.*back weft that shrinks.*stretched.*wadding.*second beam/,
    );
  });

  it('under eight threads are refused with what it would take', () => {
    // h = (2L/π)√e: 0.6 mm over 4 mm asks for (0.3π/4)² = 5.6 %.
    const words = reliefWords({ ...flat, pockets: 0, spanMm: 4 }, undefined, 'cm').join(' ');
    expect(words).toMatch(/fewer than eight threads.*4 mm.*6 % longer.*0\.6 mm.*wider/);
  });

  it('say how high, within what, and what is too small to read', () => {
    const standing = { ...flat, heightMm: { value: 2.63, low: 1.9, high: 3.2 }, excessAcross: 0.05 };
    const words = reliefWords(standing, 4.21, 'cm').join(' ');
    expect(words).toContain('2 pockets');
    expect(words).toContain('about 2.6 mm on the face (1.9–3.2 mm)');
    expect(words).toContain('narrower than about 4.2 mm');
  });

  it('the smallest that reads stands as high as one layer is thick, near; far off its stripes are what is left to see', () => {
    const nearMm = smallestPocketMm(flat, 0.05, null);
    expect(((2 * nearMm) / Math.PI) * Math.sqrt(0.05)).toBeCloseTo(0.6, 12);
    const farMm = smallestPocketMm(flat, 0.05, 20_000);
    expect(farMm).toBeGreaterThan(nearMm);
    expect(2 * Math.sqrt(0.05) * contrastLeft(farMm, 20_000)).toBeCloseTo(0.05, 6);
  });
});

describe('hold, curl and pucker in words', () => {
  const held = (verdict: HeldWeft['verdict'], value: number): HeldWeft => ({
    yarn: 3,
    verdict,
    holdsOverMm: { value, low: value / 1.3, high: value * 1.3 },
    floatEnds: 4,
    floatMm: 12,
    row: 7,
  });

  it('leave out what holds and begin with the worst', () => {
    const lines = holdLines([held('held', 3), held('slides', 18), held('fallsOut', Number.POSITIVE_INFINITY)], 'cm');
    expect(lines.map(({ words }) => words)).toEqual([
      expect.stringMatching(/whole row: nothing bends it/),
      expect.stringMatching(/takes 18 mm of cloth \(14–23 mm\)/),
    ]);
    expect(holdLines([held('worms', 5)], 'cm')[0].words).toMatch(/over 4 ends/);
    expect(holdLines([held('drifts', 5)], 'cm')[0].words).toMatch(/floats 12 mm/);
  });

  it('name side, edge and radius, and send for a sample', () => {
    const along = { to: 'face', radiusMm: { value: 8.2, low: 1.4, high: 47 } } as const;
    const words = curlWords({ along, across: undefined }, 'cm').join(' ');
    expect(words).toMatch(/face from its first and last picks, round about 8.2 mm \(1.4–47 mm radius\)/);
    expect(words).toMatch(/Sample first/);
    expect(curlWords({ along: undefined, across: undefined }, 'cm')).toEqual(['Lies flat: both sides pull alike.']);
    const pucker = { slackMmPerM: { value: 20, low: 10, high: 30 }, firstEnd: 29, lastEnd: 58 };
    expect(puckerWords(pucker, undefined, 'cm')).toMatch(
      /^Ends 30–59 come slack by up to 20 mm to the metre \(10–30\).*pucker.*Sample first/,
    );
    const ripple = { wavelengthMm: 24.2, heightMm: { value: 1.51, low: 0.7, high: 1.9 } };
    expect(puckerWords(pucker, ripple, 'cm')).toMatch(/ripple, a wave about every 24 mm, 1.5 mm high \(0.7–1.9 mm\)/);
  });

  it('tell crowded ends what becomes of them and what to do', () => {
    const crowding = { firstEnd: 0, lastEnd: 95, share: 0.79, sideBySidePerCm: 21.6, how: 'pressed' } as const;
    expect(crowdingWords(crowding, 'cm')).toMatch(
      /^Ends 1–96 have 79 % of the room that they need side by side \(about 21.6\/cm\): they press.*Sley wider/,
    );
    expect(crowdingWords({ ...crowding, share: 0.5, how: 'ride' }, 'cm')).toMatch(/ride over one another.*Sley wider/);
  });
});
