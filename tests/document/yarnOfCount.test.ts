import { describe, expect, test } from 'vitest';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { yarnOfCount } from '#document/yarnOfCount.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import { readYarnCard } from '#io/cardFiles.ts';
import strip6 from '#presets/yarns/cloth-strip-6.json';
import strip20 from '#presets/yarns/cloth-strip-20.json';
import cottonFive from '#presets/yarns/cotton-5-2.json';
import cottonTwenty from '#presets/yarns/cotton-20-2.json';

function card(json: unknown): YarnCard {
  const outcome = readYarnCard(json);
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  return outcome.value;
}

/** Facts of the cards are given to two figures. */
const TWO_FIGURES = 0.03;

describe('a yarn of another count', () => {
  // Cotton 20/2 and 5/2 stand in the yarn facts independently: tex from Ne × 840 yd/lb, bending from fibres (computed).
  test('20/2 spun to the tex of 5/2 is twice as wide and four times as stiff, as the card of 5/2 says', () => {
    const scaled = yarnOfCount(card(cottonTwenty), cottonFive.tex, 'Ne 5/2');
    const five = card(cottonFive);
    for (const i of [0, 1] as const) {
      expect(Math.abs(scaled.bendingNmm2[i] / five.bendingNmm2[i] - 1)).toBeLessThan(TWO_FIGURES);
      expect(scaled.twistTurnsPerM![i]).toBeCloseTo(cottonTwenty.twistTurnsPerM[i] / 2, 3);
    }
    const width = (yarn: YarnCard) => yarnBody(yarnFactsOf(yarn)).contactWidthMm;
    expect(width(scaled) / width(five)).toBeCloseTo(1, 3);
    expect(width(scaled) / width(card(cottonTwenty))).toBeCloseTo(2, 3);
    expect(scaled.count).toBe('Ne 5/2');
  });

  // Strips of one sheeting, 6 and 20 mm: widths and stiffness of both from the yarn facts; the crumpled width 2.23 mm is
  // their diameter_computed_mm (rolled up at its packing).
  test('a strip of the same cloth grows in width', () => {
    const scaled = yarnOfCount(card(strip6), strip20.tex);
    expect(scaled.stripWidthMm).toBeCloseTo(strip20.stripWidthMm, 3);
    expect(scaled.freeWidthMm).toBeCloseTo(strip20.freeWidthMm, 3);
    expect(scaled.contactWidthMm).toBeCloseTo(2.23, 2);
    expect(scaled.gaugeMm).toBe(strip6.gaugeMm);
    expect(scaled.bendingNmm2).toEqual(strip20.bendingNmm2);
  });

  test('what was scaled says so, and a label no longer true is dropped', () => {
    const scaled = yarnOfCount(card(cottonTwenty), 80);
    expect(scaled.count).toBeUndefined();
    expect(scaled.provenance).toMatchObject({ tex: 'chosen in the sample', bendingNmm2: 'scaled from another count' });
    expect(readYarnCard(scaled).ok).toBe(true);
  });

  test('there and back is the same yarn, to six figures', () => {
    const there = yarnOfCount(card(cottonTwenty), 300);
    const back = yarnOfCount(there, cottonTwenty.tex);
    expect(back.bendingNmm2[1]).toBeCloseTo(cottonTwenty.bendingNmm2[1], 6);
    expect(back.twistTurnsPerM![0]).toBeCloseTo(cottonTwenty.twistTurnsPerM[0], 2);
  });
});
