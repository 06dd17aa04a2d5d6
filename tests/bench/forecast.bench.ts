import { bench, describe } from 'vitest';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { ForecastMemory, Quality } from '#engine/cloth/forecast/forecastCloth.ts';
import { answer, type PictureCloths, pictureCloths } from '#tests/helpers/benchCloths.ts';
import { finish } from '#tests/helpers/finish.ts';

/** Times are the clock's: on a machine that others use they say little; tests/bench/page/solver.html takes them on another. */
function bothWays({ picture, firmer, turned, materials }: PictureCloths, rounds: number, settles: boolean): void {
  const options = { warmupIterations: 1, iterations: rounds, time: 0, warmupTime: 0 };
  let settled: ForecastMemory | undefined;
  /** The picture as it was before each edit. */
  const before = (): ForecastMemory => {
    if (!settled) {
      settled = {};
      finish(answer(picture, materials, settles ? 'settled' : 'preview', settled));
    }
    return { ...settled };
  };
  const run = (problem: ClothProblem, quality: Quality, memory: ForecastMemory) =>
    finish(answer(problem, materials, quality, memory));
  bench('from nothing: preview', () => run(picture, 'preview', {}), options);
  bench('a firmer beat: preview', () => run(firmer, 'preview', before()), options);
  if (!settles) return;
  bench('from nothing: settled', () => run(picture, 'settled', {}), options);
  bench('a firmer beat: settled', () => run(firmer, 'settled', before()), options);
  bench('ten crossings turned: preview', () => run(turned, 'preview', before()), options);
}

describe('an answer of a 400 × 400 picture cloth (aims: beat 100 ms preview, 1 s settled)', () => {
  bothWays(pictureCloths(400, 400), 3, true);
});

describe('an answer of a 2 000 × 3 000 picture cloth (aims: 1 s preview, 40 s settled)', () => {
  bothWays(pictureCloths(2000, 3000), 1, false);
});
