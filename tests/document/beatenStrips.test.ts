import { describe, expect, test } from 'vitest';
import { stripWords } from '#app/yarn/stripWords.ts';
import { sampleFromFile } from '#document/sampleFromFile.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { yarnOfRows } from '#engine/cloth/yarnOfRows.ts';
import { readYarnCard } from '#io/cardFiles.ts';
import cardFile from '#presets/yarns/card-strip-6.json';
import clothFile from '#presets/yarns/cloth-strip-20.json';
import { smallSampleFile } from './smallSample.ts';

const PICKS = 16;

function cardOf(file: unknown): YarnCard {
  const card = readYarnCard(file);
  if (!card.ok) throw new Error(card.problems[0].message);
  return card.value;
}
const clothStrip = cardOf(clothFile);
const cardStrip = cardOf(cardFile);

interface Woven {
  readonly strip: YarnCard;
  readonly firmness?: number;
  readonly fixedPicksPerCm?: number;
  /** Firmness of the upper half. */
  readonly above?: number;
  readonly tensionCNPerEnd?: number;
  readonly endsPerDent?: number | string;
}

function sampleOf({ strip, firmness = 0.7, fixedPicksPerCm, above, tensionCNPerEnd = 80, endsPerDent = 1 }: Woven) {
  const file = smallSampleFile();
  const outcome = sampleFromFile({
    ...file,
    warp: { ...file.warp, reed: { dentsPerCm: 4, endsPerDent }, tensionCNPerEnd },
    yarns: { ...file.yarns, [strip.id]: strip },
    beat: {
      firmness,
      scatterPercent: 0,
      seed: 7,
      ...(fixedPicksPerCm === undefined ? {} : { fixedPicksPerCm }),
    },
    picks: Array.from({ length: PICKS }, (_, i) => ({
      lift: i % 2 === 0 ? [1, 3, 5, 7] : [2, 4, 6, 8],
      ...(above !== undefined && i >= PICKS / 2 ? { beat: above } : {}),
      passes: [{ strands: [strip.id], enters: i % 2 === 0 ? 'left' : 'right', ends: 'selvedge' }],
    })),
    versions: [],
  });
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  return outcome.value;
}

const woven = (options: Woven) => toClothProblem(sampleOf(options)).problem;
const bodyOfRow = ({ yarns, rowYarn }: ReturnType<typeof woven>, row: number) => yarns[rowYarn[row]];

describe('strips in their sheds', () => {
  test('beaten firmer in its upper half, rag cloth has narrower and thicker rows there, and more of them (common practice)', () => {
    const problem = woven({ strip: clothStrip, firmness: 0.2, above: 0.9 });
    const { rowYMm } = rowPositions(problem, false);
    const soft = bodyOfRow(problem, 2);
    const hard = bodyOfRow(problem, 13);
    expect(hard.contactWidthMm).toBeLessThan(0.7 * soft.contactWidthMm);
    expect(hard.contactHeightMm).toBeGreaterThan(1.4 * soft.contactHeightMm);
    expect(rowYMm[14] - rowYMm[12]).toBeLessThan(0.7 * (rowYMm[3] - rowYMm[1]));
    // The first of the hard beats falls on the row before it too.
    expect(bodyOfRow(problem, 7)).toBe(hard);
    expect(bodyOfRow(problem, 6)).toBe(soft);
    // One shuttle still, of which the page tells both ways that it lies.
    expect(new Set(yarnOfRows(problem)).size).toBe(1);
    expect(stripWords(sampleOf({ strip: clothStrip }).yarns[clothStrip.id], problem, 'cm')).toMatch(
      /^Lies folded .* where it is beaten softest; where hardest, it (lies folded|crumples)/,
    );
  });

  test('where picks are fixed strips fold until there is room for them', () => {
    const widthAt = (fixedPicksPerCm: number) => {
      const problem = woven({ strip: clothStrip, fixedPicksPerCm });
      const { rowYMm } = rowPositions(problem, false);
      const pitch = (rowYMm[PICKS - 1] - rowYMm[0]) / (PICKS - 1);
      // Within what beats are told apart by.
      expect(Math.abs(pitch * (fixedPicksPerCm / 10) - 1)).toBeLessThan(0.001);
      const width = bodyOfRow(problem, 8).contactWidthMm;
      expect(width).toBeLessThanOrEqual(pitch);
      return width;
    };
    expect(widthAt(3)).toBeLessThan(widthAt(2));
    expect(widthAt(2)).toBeLessThan(widthAt(1));
    // Rolled, 2500 tex of cotton at packing 0.42 is 2.23 mm thick: no more than 4.5 to the cm, however beaten.
    expect(() => rowPositions(woven({ strip: clothStrip, fixedPicksPerCm: 5 }), false)).toThrow(/jam at 4\.\d/);
  });

  test('card lies flat among close ends and stands on edge in an open, slack warp beaten hard', () => {
    const close = woven({ strip: cardStrip, firmness: 1 });
    expect(bodyOfRow(close, 5).contactWidthMm).toBe(cardStrip.stripWidthMm);
    const open = { strip: cardStrip, endsPerDent: '1 0', tensionCNPerEnd: 25 };
    const standing = woven({ ...open, firmness: 1 });
    expect(bodyOfRow(standing, 5)).toMatchObject({
      contactWidthMm: cardStrip.gaugeMm,
      contactHeightMm: cardStrip.stripWidthMm,
    });
    expect(bodyOfRow(woven({ ...open, firmness: 0 }), 5).contactWidthMm).toBe(cardStrip.stripWidthMm);
  });
});
