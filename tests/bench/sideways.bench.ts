import { bench, describe } from 'vitest';
import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import type { SectionFields } from '#engine/cloth/sideways/neighbourRoom.ts';
import type { PlanThreads } from '#engine/cloth/sideways/planSide.ts';
import { settleThreads } from '#engine/cloth/sideways/settleThreads.ts';
import { solveSideways } from '#engine/cloth/sideways/solveSideways.ts';
import {
  evenCloth,
  layersOfPlain,
  satin8,
  shadedSatin,
  solve,
  type Weave,
} from '#tests/engine/cloth/heights/problems.ts';
import { finish } from '#tests/helpers/finish.ts';

const OPTIONS = { time: 1500, iterations: 3, warmupIterations: 1, warmupTime: 0 };
const LOOM = { warpTightness: 30, weftTightness: 2 };
const hopsack: Weave = (j, i) => ((j >> 1) + (i >> 1)) % 2 === 0;

function planOf({ rows, ends, endBendingNmm2, rowBendingNmm2 }: HeightsProblem): PlanThreads {
  const fill = (count: number, value: number) => new Float64Array(count).fill(value);
  return {
    endBendingNmm2,
    rowBendingNmm2,
    endContactWidthMm: fill(ends, 0.4),
    rowContactWidthMm: fill(rows, 0.4),
    endStiffnessN: fill(ends, 1000),
    rowStiffnessN: fill(rows, 1000),
  };
}

function round({ rows, ends }: HeightsProblem): SectionFields {
  const ones = () => new Float32Array(rows * ends).fill(1);
  return { warpWidth: ones(), warpHeight: ones(), weftWidth: ones(), weftHeight: ones() };
}

describe('heights and offsets of a repeat, in turn until settled, against its heights alone', () => {
  const cases = {
    hopsack: evenCloth({ rows: 4, ends: 4, weave: hopsack, ...LOOM }),
    'satin of 8': evenCloth({ rows: 8, ends: 8, weave: satin8, ...LOOM }),
    'triple plain': evenCloth({ rows: 6, ends: 6, weave: layersOfPlain(3), p1: 1 / 3, p2: 1 / 3, ...LOOM }),
  };
  for (const [name, problem] of Object.entries(cases)) {
    const sections = round(problem);
    // biome-ignore lint/correctness/useYield: sections are at hand.
    function* sectionsOf(): Generator<void, SectionFields> {
      return sections;
    }
    bench(`${name}, both`, () => void finish(settleThreads(problem, planOf(problem), sectionsOf)), OPTIONS);
    bench(`${name}, heights alone`, () => void solve(problem), OPTIONS);
  }
});

describe('a picture cloth, 400 × 400 shaded satin', () => {
  const problem = evenCloth({ rows: 400, ends: 400, weave: shadedSatin(400), boundary: 'mirrored', ...LOOM });
  const solution = solve(problem);
  const threads = planOf(problem);
  const sections = round(problem);
  for (const maxIterations of [12, 36])
    bench(
      `offsets, ${maxIterations} iterations`,
      () => void finish(solveSideways(problem, solution, sections, threads, { maxIterations })),
      OPTIONS,
    );
  bench('heights, settled', () => void solve(problem), OPTIONS);
});
