import { bench, describe } from 'vitest';
import type { HeightsOptions, HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { evenCloth, layersOfPlain, plain, satin8, shadedSatin, solve } from '#tests/engine/cloth/heights/problems.ts';
import { finish } from '#tests/helpers/finish.ts';

/** As tight as on a loom: T·p²/B 30 in the warp, 2 in the weft. */
const LOOM = { warpTightness: 30, weftTightness: 2 };
const OPTIONS = { time: 1500, iterations: 3, warmupIterations: 1, warmupTime: 0 };

/** Kept from solve to solve, as the worker keeps it. */
const scratch = new Scratch();

function run(problem: HeightsProblem, options: HeightsOptions): void {
  finish(solveHeights(problem, { ...options, scratch }));
}

describe('heights of a repeat of 40 × 40 (aim: 5 ms warm)', () => {
  const cases = {
    plain: evenCloth({ rows: 40, ends: 40, weave: plain, ...LOOM }),
    'satin of 8': evenCloth({ rows: 40, ends: 40, weave: satin8, ...LOOM }),
    'double plain': evenCloth({ rows: 40, ends: 40, weave: layersOfPlain(2), p1: 0.5, p2: 0.5, ...LOOM }),
  };
  for (const [name, problem] of Object.entries(cases)) {
    const start = solve(problem);
    bench(`${name}, from nothing`, () => run(problem, {}), OPTIONS);
    bench(`${name}, from its last solution`, () => run(problem, { start }), OPTIONS);
  }
});

describe('heights of a picture cloth, 400 × 400 shaded satin, 160 000 crossings', () => {
  const problem = evenCloth({ rows: 400, ends: 400, weave: shadedSatin(400), boundary: 'mirrored', ...LOOM });
  const start = solve(problem);
  const firmer = { ...problem, rowYMm: problem.rowYMm.map((y) => 0.97 * y) };
  bench('settled (aim: 1 s, 5 µs a crossing)', () => run(problem, { quality: 'settled' }), OPTIONS);
  bench('preview (aim: 100 ms)', () => run(problem, { quality: 'preview' }), OPTIONS);
  bench('preview after a 3 % firmer beat', () => run(firmer, { quality: 'preview', start }), OPTIONS);
  bench('settled after a 3 % firmer beat', () => run(firmer, { quality: 'settled', start }), OPTIONS);
  bench(
    '60 iterations without wrap: 9.6 million crossing steps',
    () => {
      run(problem, { maxIterations: 60, tolerance: 0, withoutWrap: true });
    },
    OPTIONS,
  );
});
