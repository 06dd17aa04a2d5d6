import { expect, it } from 'vitest';
import { together } from '#engine/cloth/crew.ts';
import { type PartJob, solvePart } from '#engine/cloth/forecast/solvePart.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { shadedPicture } from '#tests/helpers/benchCloths.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';
import { crewOfPage } from '#workers/crewOfPage.ts';

function partOf(rows: number): PartJob {
  const yarn = roundBody('20/2', 0.287, 0.0082, 59.05);
  const weave = shadedPicture(rows, 20);
  const problem = clothProblem({ weave, rows, ends: 20, endsPerCm: 16, warp: [yarn], weft: [yarn] });
  return { problem, rowYMm: rowPositions(problem, false).rowYMm, quality: 'preview' };
}

async function run(jobs: readonly PartJob[], take: (heights: Float32Array) => void): Promise<void> {
  const crew = crewOfPage(2);
  if (!crew) throw new Error('a browser has threads');
  const steps = together(
    crew,
    solvePart,
    jobs.map((job) => () => job),
    ({ fields }) => take(fields.warp.heightMm),
    (share) => ({ stage: 'heights', share }),
  );
  for (let step = steps.next(); !step.done; step = steps.next()) await step.value.until;
}

it('solves parts of a cloth in the threads of a browser as in the one that asks', async () => {
  const jobs = [24, 16, 20].map(partOf);
  const found: Float32Array[] = [];
  await run(jobs, (heights) => found.push(heights));
  expect(found).toEqual(jobs.map((job) => finish(solvePart.steps(job, new Scratch())).fields.warp.heightMm));
});

it('tells in the thread that asks what went wrong in another', async () => {
  const upsideDown = { ...partOf(8), rowYMm: Float64Array.from({ length: 8 }, (_, row) => -row) };
  await expect(run([partOf(8), upsideDown], () => {})).rejects.toBeInstanceOf(RangeError);
});

it('has none where fewer than two threads are to be had', () => {
  expect(crewOfPage(1)).toBeUndefined();
});
