import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { sampleFromFile } from '#document/sampleFromFile.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { yarnNeeded } from '#document/yarnNeeded.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { crushLawOf } from '#engine/yarn/compression.ts';
import { readYarnCard } from '#io/cardFiles.ts';
import { finish } from '#tests/helpers/finish.ts';
import yarnFacts from '#tests/reference/data/yarn-facts.json';
import { smallSampleFile } from './smallSample.ts';

const ENDS = 16;
const PICKS = 16;

const folder = new URL('../../presets/yarns/', import.meta.url);
const cards = readdirSync(folder).map((file): YarnCard => {
  const card = readYarnCard(JSON.parse(readFileSync(new URL(file, folder), 'utf8')));
  if (!card.ok) throw new Error(card.problems[0].message);
  return card.value;
});

/** Plain weave: a warp of cotton 8/4 at 12 ends to the inch, as strips are woven on (common practice), and the yarn as weft. */
function plainWith(weft: YarnCard) {
  const file = smallSampleFile();
  const outcome = sampleFromFile({
    ...file,
    warp: {
      ...file.warp,
      ends: ENDS,
      order: `${ENDS} warp`,
      threading: `1-8 x${ENDS / 8}`,
      reed: { dentsPerCm: 4.72, endsPerDent: 1 },
    },
    loom: { ...file.loom, reedsDentsPerCm: [4.72] },
    yarns: {
      warp: { ...cards.find(({ id }) => id === 'cotton-8-4')!, id: 'warp' },
      [weft.id]: weft,
    },
    beat: { firmness: 0.7, scatterPercent: 0, seed: 7 },
    picks: Array.from({ length: PICKS }, (_, i) => ({
      lift: i % 2 === 0 ? [1, 3, 5, 7] : [2, 4, 6, 8],
      passes: [{ strands: [weft.id], enters: i % 2 === 0 ? 'left' : 'right', ends: 'selvedge' }],
    })),
    versions: [],
  });
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  const { problem } = toClothProblem(outcome.value);
  return finish(forecastCloth(problem, 'preview'));
}

const isSane = (value: number) => Number.isFinite(value) && value > 0;

describe('every yarn of the shelf, those of the facts among them, as weft in plain', () => {
  test('each of the facts has a card', () => {
    expect(cards.map(({ id }) => id)).toEqual(expect.arrayContaining(yarnFacts.yarns.map(({ id }) => id)));
  });

  test.each(cards)('$id', (card) => {
    const { problem, geometry, readings } = plainWith(card);
    const { picksPerCm, thicknessMm, weightGPerM2, lengthMm } = readings;
    for (const reading of [picksPerCm, thicknessMm, weightGPerM2, lengthMm]) {
      for (const value of [reading.value, reading.low, reading.high]) expect(isSane(value)).toBe(true);
      expect(reading.low).toBeLessThanOrEqual(reading.value);
      expect(reading.high).toBeGreaterThanOrEqual(reading.value);
    }
    for (const field of [geometry.warp, geometry.weft])
      for (const heights of [field.heightMm, field.slope]) expect(heights.every(Number.isFinite)).toBe(true);
    for (const { warp, weft, open } of [readings.face, readings.back]) {
      expect(warp + weft + open).toBeCloseTo(1, 6);
      for (const share of [warp, weft, open]) expect(share).toBeGreaterThanOrEqual(0);
    }
    expect(readings.warpTakeUp.value).toBeGreaterThanOrEqual(0);
    expect(readings.warpTakeUp.value).toBeLessThan(1);
    expect(readings.weftTakeUp.value).toBeGreaterThanOrEqual(0);
    expect(readings.weftTakeUp.value).toBeLessThan(1);

    // No thinner than either yarn pressed as close as fibres lie, no thicker than both and a float of each on either side.
    const [warpBody, weftBody] = [problem.yarns[problem.endYarn[0]], problem.yarns[problem.rowYarn[0]]];
    const least = Math.max(crushLawOf(warpBody).leastHeightMm, crushLawOf(weftBody).leastHeightMm);
    expect(thicknessMm.value).toBeGreaterThan(0.9 * least);
    expect(thicknessMm.value).toBeLessThan(3 * (warpBody.bodyHeightMm + weftBody.bodyHeightMm));

    // Weight by definition of tex: threads a cm times g/km is g/m² times ten, each over 1 − take-up.
    const warpTex = (readings.endsPerCm.value * warpBody.tex) / (1 - readings.warpTakeUp.value);
    const weftTex = (picksPerCm.value * card.tex) / (1 - readings.weftTakeUp.value);
    const expected = (warpTex + weftTex) / 10;
    // The readings' own area ends half a thread within the outermost; of 16 threads that is up to 1/15.
    expect(weightGPerM2.value / expected).toBeGreaterThan(0.93);
    expect(weightGPerM2.value / expected).toBeLessThan(1.08);
    // Never less than the threads laid straight.
    expect(weightGPerM2.value).toBeGreaterThan(
      0.93 * ((readings.endsPerCm.value * warpBody.tex + picksPerCm.value * card.tex) / 10),
    );

    const metres = yarnNeeded(problem, readings).get(card.id)!.metres;
    expect(metres.value).toBeGreaterThanOrEqual((PICKS * readings.widthMm.value) / 1000 - 1e-9);
  });
});
