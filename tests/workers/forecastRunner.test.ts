import { describe, expect, it } from 'vitest';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import type { YarnMaterial } from '#engine/packing/packedCloth.ts';
import { strandOf } from '#tests/helpers/clothFixtures.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';
import { ForecastRunner } from '#workers/forecastRunner.ts';
import type { ForecastJob, ForecastMessage } from '#workers/protocol.ts';

const plain = drawdownFromRows([
  [1, 0],
  [0, 1],
]);
const yarn = roundBody('8/2', 0.462, 0.016, 147.6);
const problem = clothProblem({ weave: plain, rows: 24, ends: 16, endsPerCm: 8, warp: [yarn], weft: [yarn] });
const materials: YarnMaterial[] = problem.yarns.map(() => ({ strands: [strandOf([0.5, 0.4, 0.3])] }));

function job(revision: number, more: Partial<ForecastJob> = {}): ForecastJob {
  return { jobId: revision, revision, region: 'whole', quality: 'settled', problem, materials, ...more };
}

/** A runner on a clock that jumps past a chunk at every look, so that it breathes between all steps. */
function makeRunner() {
  const heard: ForecastMessage[] = [];
  let time = 0;
  const runner = new ForecastRunner({
    post: (message) => heard.push(message),
    breathe: () => new Promise((resolve) => setTimeout(resolve, 0)),
    now: () => {
      time += 25;
      return time;
    },
  });
  return { runner, heard };
}

describe('forecast runner', () => {
  it('sends progress, then a preview, then the settled cloth, then what it is from afar and where yarn grins through', async () => {
    const { runner, heard } = makeRunner();
    await runner.start(job(1, { far: true }));
    const kinds = heard.map((message) => message.kind);
    expect(kinds[0]).toBe('progress');
    expect(kinds.filter((kind) => kind !== 'progress')).toEqual(['partial', 'done', 'far', 'turns', 'grin']);
    const [done, far, told, grin] = heard.slice(-4);
    expect(far.kind === 'far' && far.far.classes).toBeGreaterThanOrEqual(2);
    // One colour both ways moves nowhere over the turn.
    const turns = told.kind === 'turns' ? [...told.turns.face, ...told.turns.back] : [];
    expect(turns).toHaveLength(4);
    for (const { steps } of turns) for (const { difference } of steps) expect(difference).toBeLessThan(1e-3);
    expect(grin.kind === 'grin' && grin.grin.shown.some((area) => area > 0)).toBe(true);
    if (done.kind !== 'done') throw new Error('before these comes the settled cloth');
    expect(done.result.geometry.rowYMm.length).toBe(24);
    expect(done.result.packed.ends).toBe(16);
    expect(done.result.readings.picksPerCm.value).toBeGreaterThan(0);
  });

  it('tells of a settled cloth what it is from afar, as its own forecast does', async () => {
    const { runner, heard } = makeRunner();
    await runner.start(job(1, { far: true }));
    const done = heard.find((message) => message.kind === 'done');
    const own = heard.find((message) => message.kind === 'far');
    if (done?.kind !== 'done' || own?.kind !== 'far') throw new Error('a forecast tells both');
    const before = heard.length;
    await runner.start({ jobId: 2, revision: 2, packed: done.result.packed });
    expect(heard.slice(before).map((message) => [message.revision, message.kind])).toEqual([[2, 'far']]);
    const again = heard[before];
    expect(again.kind === 'far' && again.far).toEqual(own.far);
  });

  it('ends where it is told to stop, and takes the next job as if nothing had been', async () => {
    const { runner, heard } = makeRunner();
    const first = runner.start(job(1, { far: true }));
    await new Promise((resolve) => setTimeout(resolve, 0));
    runner.stop();
    await first;
    expect(heard.some(({ kind }) => kind === 'done' || kind === 'failed')).toBe(false);
    await runner.start(job(2));
    expect(heard.at(-1)).toMatchObject({ kind: 'done', revision: 2 });
  });

  it('drops an older job as soon as a newer one comes, and refuses one that is late', async () => {
    const { runner, heard } = makeRunner();
    const first = runner.start(job(1));
    const second = runner.start(job(2, { quality: 'preview' }));
    await Promise.all([first, second]);
    await runner.start(job(1));
    const results = heard.filter((message) => message.kind !== 'progress');
    expect(results.map((message) => [message.revision, message.kind])).toEqual([[2, 'done']]);
  });

  it('says where and why a cloth cannot be', async () => {
    const { runner, heard } = makeRunner();
    const impossible = { ...problem, beat: { ...problem.beat, fixedPicksPerCm: 90 } };
    await runner.start(job(1, { problem: impossible }));
    const last = heard[heard.length - 1];
    expect(last).toMatchObject({ kind: 'failed', where: 'beat' });
    expect(last.kind === 'failed' && last.why).toMatch(/jam at/);
  });

  it('works on a part of the cloth', async () => {
    const { runner, heard } = makeRunner();
    await runner.start(job(1, { quality: 'preview', region: { firstRow: 4, lastRow: 15, firstEnd: 2, lastEnd: 9 } }));
    const done = heard[heard.length - 1];
    expect(done.kind === 'done' && [done.result.packed.rows, done.result.packed.ends]).toEqual([12, 8]);
  });
});
