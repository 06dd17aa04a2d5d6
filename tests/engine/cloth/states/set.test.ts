import { describe, expect, it } from 'vitest';
import { sampleFromFile } from '#document/sampleFromFile.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { warpwiseStiffnessNmm } from '#engine/cloth/bendRadius.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { regionProblem } from '#engine/cloth/forecast/regionProblem.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { crimpLeft } from '#engine/cloth/states/setCrimp.ts';
import { finishedBody, type Treatment, treatmentFacts } from '#engine/cloth/states/treatments.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { smallSampleFile } from '#tests/document/smallSample.ts';
import { THEORY } from '#tests/engine/cloth/heights/problems.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';
import { presetYarn } from '#tests/reference/forecast/cloths.ts';

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

  /** Round threads in plain weave without tension, as the finish leaves them: each thread set by its share. */
  function plainOf(setWarp: number, setWeft: number, tensionN = 0) {
    const yarn = presetYarn('woollen-2ply');
    const problem = clothProblem({
      weave: plainWeave(),
      rows: 8,
      ends: 8,
      endsPerCm: 7,
      warp: [{ ...yarn, id: 'warp', setShare: setWarp }],
      weft: [{ ...yarn, id: 'weft', setShare: setWeft }],
      endTensionN: tensionN,
      firmness: 0.5,
    });
    const y = Float64Array.from({ length: 9 }, (_, row) => row / 0.7);
    const cloth = { ...problem, rowTensionN: problem.rowTensionN.fill(tensionN) };
    return regionProblem(cloth, { firstRow: 0, rows: 2, firstEnd: 0, ends: 2, boundary: 'periodic' }, y);
  }

  it('a thread set by s gives way as one of stiffness (1 − s)B: plain crimp heights lie as 1 : (1 − s), rigid sections', () => {
    for (const share of [0.25, 0.5, 0.8]) {
      const { endCrush, rowCrush, ...rigid } = plainOf(share, 0);
      const solved = finish(solveHeights(rigid, THEORY));
      expect(Math.abs(solved.weftHeightMm[0] / solved.warpHeightMm[0])).toBeCloseTo(1 - share, 4);
    }
  });

  it('where all that pushes is set alike and kept tension falls with it, every thread lies as it lay (equal forces, linear)', () => {
    const before = finish(solveHeights(plainOf(0, 0, 0.1)));
    const after = finish(solveHeights(plainOf(0.4, 0.4, 0.06)));
    for (let k = 0; k < before.warpHeightMm.length; k++) {
      expect(after.warpHeightMm[k]).toBeCloseTo(before.warpHeightMm[k], 6);
      expect(after.contactForceN[k] / before.contactForceN[k]).toBeCloseTo(0.6, 4);
    }
    // Tension that does not fall pulls set threads straighter.
    const taut = finish(solveHeights(plainOf(0.8, 0, 0.1)));
    const unset = finish(solveHeights(plainOf(0.8, 0, 0)));
    expect(Math.abs(taut.warpHeightMm[0])).toBeLessThan(Math.abs(unset.warpHeightMm[0]));
  });

  it('a further bend meets the whole stiffness: cloth hangs over an edge as stiffly as it did', () => {
    const stiffness = (share: number) => {
      const problem = clothOf('wool');
      return warpwiseStiffnessNmm({ ...problem, yarns: problem.yarns.map((yarn) => ({ ...yarn, setShare: share })) });
    };
    expect(stiffness(0.5)).toBe(stiffness(0));
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
