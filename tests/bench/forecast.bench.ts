import { bench, describe } from 'vitest';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type ForecastMemory, forecastCloth, type Quality } from '#engine/cloth/forecast/forecastCloth.ts';
import { createDrawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { YarnMaterial } from '#engine/packing/packedCloth.ts';
import { strandOf } from '#tests/helpers/clothFixtures.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

/** A picture cloth without a repeat: 8-end satins shaded from weft to warp face across and up. */
function shadedPicture(side: number) {
  const weave = createDrawdown(side, side);
  for (let row = 0; row < side; row++) {
    for (let end = 0; end < side; end++) {
      const tone = 1 + Math.floor((6.99 * (row + end)) / (2 * side - 1));
      setWarpUp(weave, row, end, (end + 8 * side - 3 * row) % 8 < tone);
    }
  }
  return weave;
}

const yarn = roundBody('20/2', 0.287, 0.0082, 59.05);
const picture = clothProblem({
  weave: shadedPicture(400),
  rows: 400,
  ends: 400,
  endsPerCm: 16,
  warp: [yarn],
  weft: [yarn],
});

const firmer = { ...picture, beat: { ...picture.beat, firmness: picture.beat.firmness.map((f) => f + 0.03) } };

/** Ten crossings in a row lie the other way up. */
const turned = { ...picture, drawdown: { ...picture.drawdown, bits: picture.drawdown.bits.slice() } };
for (let k = 0; k < 10; k++) {
  setWarpUp(turned.drawdown, 100 + k, 200 + k, !isWarpUp(turned.drawdown, 100 + k, 200 + k));
}

const materials: YarnMaterial[] = picture.yarns.map(() => ({ strands: [strandOf([0.5, 0.4, 0.3])] }));

/** What the worker does for one answer. */
function answer(problem: ClothProblem, quality: Quality, memory: ForecastMemory): void {
  const { geometry } = finish(forecastCloth(problem, quality, memory));
  packCloth(problem, geometry, materials);
}

const cold: ForecastMemory = {};
const warm: ForecastMemory = {};
const options = { warmupIterations: 3, iterations: 5, time: 0, warmupTime: 0 };

/** The picture as it was before each edit. */
const settled: ForecastMemory = {};
answer(picture, 'settled', settled);

describe('an edit of a 400 × 400 picture cloth: spacing, heights, sections, readings, packing', () => {
  const fromNothing = (quality: Quality) => {
    delete cold.heights;
    answer(picture, quality, cold);
  };
  const edit = (problem: ClothProblem, quality: Quality) => {
    warm.heights = settled.heights!;
    answer(problem, quality, warm);
  };
  bench('from nothing: preview', () => fromNothing('preview'), options);
  bench('from nothing: settled', () => fromNothing('settled'), options);
  bench('a firmer beat: preview (aim: 100 ms)', () => edit(firmer, 'preview'), options);
  bench('a firmer beat: settled (aim: 1 s)', () => edit(firmer, 'settled'), options);
  bench('ten crossings turned: preview (aim: 100 ms)', () => edit(turned, 'preview'), options);
});
