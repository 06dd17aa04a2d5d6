import { bench, describe } from 'vitest';
import { forecastCloth, type Quality } from '#engine/cloth/forecast/forecastCloth.ts';
import { createDrawdown, setWarpUp } from '#engine/draft/drawdown.ts';
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

function run(quality: Quality): void {
  finish(forecastCloth(picture, quality));
}

const options = { warmupIterations: 1, iterations: 3, time: 0, warmupTime: 0 };

describe('an edit of a 400 × 400 picture cloth: spacing, heights, sections, readings', () => {
  bench('preview', () => run('preview'), options);
  bench('settled', () => run('settled'), options);
});
