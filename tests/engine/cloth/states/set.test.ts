import { describe, expect, it } from 'vitest';
import { sampleFromFile } from '#document/sampleFromFile.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { crimpLeft } from '#engine/cloth/states/setCrimp.ts';
import { finishedBody, type Treatment, treatmentFacts } from '#engine/cloth/states/treatments.ts';
import { smallSampleFile } from '#tests/document/smallSample.ts';
import { finish } from '#tests/helpers/finish.ts';

function clothOf(fibre: string) {
  const file = smallSampleFile();
  const yarns = Object.fromEntries(Object.entries(file.yarns).map(([id, card]) => [id, { ...card, fibre }]));
  const outcome = sampleFromFile({ ...file, yarns });
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  return toClothProblem(outcome.value).problem;
}

/** Length of a sine of this height over its wave, less one: Simpson's rule. */
function sineCrimp(height: number, wave: number): number {
  const steps = 2000;
  let sum = 0;
  for (let k = 0; k <= steps; k++) {
    const slope = ((2 * Math.PI * height) / wave) * Math.cos((2 * Math.PI * k) / steps);
    sum += (k === 0 || k === steps ? 1 : k % 2 === 1 ? 4 : 2) * Math.hypot(1, slope);
  }
  return sum / (3 * steps) - 1;
}

describe('set', () => {
  it('a thread drawn out keeps s² of its crimp: a sine s times as high, reckoned as a length', () => {
    for (const height of [0.05, 0.1, 0.14])
      for (const share of [0.2, 0.5, 1]) {
        const crimp = sineCrimp(height, 1);
        expect(Math.abs(crimpLeft(crimp, share) / sineCrimp(share * height, 1) - 1)).toBeLessThan(0.2);
      }
    expect(crimpLeft(0.1, 0)).toBe(0);
  });

  it('steam sets wool more than cotton, an iron both, metal not at all, and nothing sets on the way off the loom (common practice)', () => {
    const shareOf = (fibre: string, treatment: Treatment) =>
      finishedBody(clothOf(fibre).yarns[0], treatmentFacts(treatment)).setShare ?? 0;
    expect(shareOf('wool', 'steamed')).toBeGreaterThan(shareOf('cotton', 'steamed'));
    expect(shareOf('wool', 'pressed')).toBeGreaterThan(shareOf('wool', 'soaked'));
    expect(shareOf('cotton', 'pressed')).toBeGreaterThan(shareOf('cotton', 'steamed'));
    expect(shareOf('polyester', 'pressed')).toBeGreaterThan(shareOf('polyester', 'handWashed'));
    expect(shareOf('copper', 'pressed')).toBe(0);
    expect(shareOf('wool', 'none')).toBe(0);
  });

  it('is read of the finished cloth alone', () => {
    const read = (state: 'onLoom' | 'offLoom' | 'finished') =>
      finish(forecastCloth(clothOf('wool'), 'preview', {}, { state, treatment: 'steamed' })).readings.setCrimp;
    expect(read('onLoom')).toBeUndefined();
    expect(read('offLoom')).toBeUndefined();
    const { warp, weft } = read('finished')!;
    expect(warp + weft).toBeGreaterThan(0.001);
    expect(Math.max(warp, weft)).toBeLessThan(0.1);
  });
});
