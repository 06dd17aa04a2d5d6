import { describe, expect, it, vi } from 'vitest';
import { keepBesideTidy, putBeside, showKept } from '#app/model/beside.ts';
import { createForecaster } from '#app/model/forecast.ts';
import { followKept } from '#app/model/keptForecasts.ts';
import { createTableStore } from '#app/model/tableState.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import { deleteVersion, keepVersion, renameVersion } from '#document/commands/versionCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type FarHandlers, ForecastClient, type ForecastHandlers } from '#workers/forecastClient.ts';
import { ForecastRunner } from '#workers/forecastRunner.ts';
import type { ForecastJob, ForecastResult } from '#workers/protocol.ts';

type Job = Omit<ForecastJob, 'jobId' | 'revision'>;
const microtasks = () => new Promise((resolve) => setTimeout(resolve, 0));
const firmness = (job: Job) => job.problem.beat.firmness[0];
const resultOf = (job: Job) =>
  ({ readings: { firmness: firmness(job) }, packed: { firmness: firmness(job) } }) as unknown as ForecastResult;
const firmnessIn = (value: unknown) => (value as { firmness: number } | undefined)?.firmness;

/** Beats 0.5, with versions of 0.3, 0.2 and 0.9, the last kept last. */
function samplesWithVersions() {
  const samples = createSampleStore(smallSample());
  for (const [name, value] of [
    ['soft', 0.2],
    ['hard', 0.9],
  ] as const) {
    samples.dispatch(setBeat({ firmness: value }));
    samples.dispatch(keepVersion({ name }));
  }
  samples.dispatch(setBeat({ firmness: 0.5 }));
  return samples;
}

/** Clients answer when told to, and only their newest question, as workers do. */
function table() {
  const samples = samplesWithVersions();
  /** Of the sample's own client. */
  const jobs: { readonly job: Job; readonly handlers: ForecastHandlers }[] = [];
  /** What was asked for versions: 'far' of a firmness, or its cloth; and how to answer it. */
  const keptAsked: { readonly what: readonly ['cloth' | 'far', number]; readonly answer: () => void }[] = [];
  let running = 0;
  const startClient = () => {
    running++;
    return {
      request: (job: Job, { onDone }: ForecastHandlers) =>
        keptAsked.push({ what: ['cloth', firmness(job)], answer: () => onDone(resultOf(job)) }),
      requestFar: ({ packed }: { packed: unknown }, { onFar }: FarHandlers) =>
        keptAsked.push({
          what: ['far', firmnessIn(packed)!],
          answer: () => onFar(packed as FarCloth),
        }),
      dispose: () => running--,
    } as unknown as ForecastClient;
  };
  const client = {
    request: (job: Job, handlers: ForecastHandlers) => jobs.push({ job, handlers }),
  } as unknown as ForecastClient;
  const ui = createTableStore();
  const forecast = createForecaster(samples, client);
  const kept = followKept(samples, ui, forecast, startClient);
  keepBesideTidy(samples, ui);
  forecast.follow();
  const settle = async () => {
    const { job, handlers } = jobs[jobs.length - 1];
    handlers.onDone(resultOf(job));
    await microtasks();
  };
  const answer = async () => {
    keptAsked[keptAsked.length - 1].answer();
    await microtasks();
  };
  return {
    samples,
    jobs,
    ui,
    kept,
    settle,
    answer,
    compare: () => showKept(ui, samples.state.getState().sample),
    drawn: () =>
      kept.getState().cloths.map(({ name, result, far }) => [name, firmnessIn(result?.readings), firmnessIn(far)]),
    asked: () => keptAsked.map(({ what }) => what),
    workers: () => running,
  };
}

/** The worker's own runner, in this thread. */
function startRunner() {
  const worker = { onmessage: undefined as ((event: { data: unknown }) => void) | undefined };
  const runner = new ForecastRunner({
    post: (data, transfer) => worker.onmessage?.({ data: structuredClone(data, { transfer }) }),
    breathe: microtasks as () => Promise<void>,
    now: () => performance.now(),
  });
  const postMessage = (job: ForecastJob) => void runner.start(structuredClone(job));
  return new ForecastClient(Object.assign(worker, { postMessage, terminate: () => {} }) as unknown as Worker);
}

describe('versions drawn beside the sample', () => {
  it('are forecast one after the other once the sample is settled, then seen from afar, and leave no worker', async () => {
    const { answer, asked, compare, drawn, jobs, settle, workers } = table();
    await microtasks();
    compare();
    expect([asked(), workers()]).toEqual([[], 0]);
    await settle();
    for (let k = 1; k <= 6; k++) {
      expect([asked().length, workers()]).toEqual([k, 1]);
      await answer();
    }
    expect(asked()).toEqual([
      ['cloth', 0.9],
      ['cloth', 0.2],
      ['cloth', 0.3],
      ['far', 0.9],
      ['far', 0.2],
      ['far', 0.3],
    ]);
    expect(drawn()).toEqual([
      ['hard', 0.9, 0.9],
      ['soft', 0.2, 0.2],
      ['looser', 0.3, 0.3],
    ]);
    expect([jobs.length, workers()]).toEqual([1, 0]);
  });

  it('go on through an edit of the sample, and wait with the next question until it is settled', async () => {
    const { answer, asked, compare, drawn, samples, settle } = table();
    await microtasks();
    compare();
    await settle();
    samples.dispatch(setBeat({ firmness: 0.6 }));
    await microtasks();
    expect(asked().length).toBe(1);
    await answer();
    expect(drawn()[0]).toEqual(['hard', 0.9, undefined]);
    expect(asked().length).toBe(1);
    await settle();
    expect(asked()[1]).toEqual(['cloth', 0.2]);
  });

  it('are not worked out any longer when they are out of sight', async () => {
    const { answer, asked, compare, kept, settle, ui, workers } = table();
    await microtasks();
    compare();
    await settle();
    await answer();
    expect(workers()).toBe(1);
    compare();
    expect(ui.getState().shown).toBe('one');
    expect([kept.getState().cloths, workers()]).toEqual([[], 0]);
    // An answer that comes late is not taken for one that is wanted.
    await answer();
    expect([kept.getState().cloths, asked().length]).toEqual([[], 2]);
  });

  it('take the sample itself where they weave alike, and from afar as well', async () => {
    const { asked, compare, drawn, jobs, samples, settle, ui } = table();
    await microtasks();
    await settle();
    samples.dispatch(keepVersion({ name: 'as it is' }));
    compare();
    putBeside(ui, 0, 'as it is');
    expect(drawn()[0]).toEqual(['as it is', 0.5, undefined]);
    jobs[0].handlers.onFar?.({ firmness: 0.5 } as unknown as FarCloth);
    expect(drawn()[0]).toEqual(['as it is', 0.5, 0.5]);
    expect(asked().some(([, of]) => of === 0.5)).toBe(false);
  });

  it('keep what they had of the sample when an edit leaves them, and theirs when one comes back to them', async () => {
    const { answer, asked, compare, drawn, jobs, kept, samples, settle, ui } = table();
    await microtasks();
    samples.dispatch(keepVersion({ name: 'as it is' }));
    await settle();
    compare();
    putBeside(ui, 0, 'as it is');
    jobs[0].handlers.onFar?.({ firmness: 0.5 } as unknown as FarCloth);
    const { result } = kept.getState().cloths[0];
    samples.dispatch(setBeat({ firmness: 0.6 }));
    await microtasks();
    // The same picture all the while: another would be drawn anew, and until then be called the cloth before.
    expect(kept.getState().cloths[0].result).toBe(result);
    await settle();
    expect(drawn()[0]).toEqual(['as it is', 0.5, 0.5]);
    expect(asked().some(([, of]) => of === 0.5)).toBe(false);
    // The next of them is worked out by itself, and then woven on the table.
    while (kept.getState().cloths[1].result === undefined) await answer();
    const own = kept.getState().cloths[1];
    samples.dispatch(setBeat({ firmness: firmnessIn(own.result?.readings)! }));
    await microtasks();
    await settle();
    expect(kept.getState().cloths[1].result).toBe(own.result);
  });

  it('take nothing of the sample in the state before when another is looked at', async () => {
    const { compare, kept, samples, settle, ui } = table();
    await microtasks();
    samples.dispatch(keepVersion({ name: 'as it is' }));
    await settle();
    compare();
    putBeside(ui, 0, 'as it is');
    expect(kept.getState().cloths[0].result).toBeDefined();
    ui.getState().showState('offLoom');
    expect(kept.getState().cloths[0].result).toBeUndefined();
  });

  it('leave the sample all that its worker has to tell: from afar, over the turn, and where yarn grins through', async () => {
    const samples = createSampleStore(smallSample());
    samples.dispatch(setBeat({ firmness: 0.5 }));
    const ui = createTableStore();
    const forecast = createForecaster(samples, startRunner());
    const kept = followKept(samples, ui, forecast, startRunner);
    forecast.follow();
    showKept(ui, samples.state.getState().sample);
    await forecast.settled();
    await vi.waitFor(() => {
      const { far, turns, grin } = forecast.state.getState();
      expect([far, turns, grin].every((each) => each !== undefined)).toBe(true);
      expect(kept.getState().cloths.map(({ far: seen }) => seen !== undefined)).toEqual([true]);
    }, 150_000);
    const classes = [forecast.state.getState(), ...kept.getState().cloths].map(({ far }) => far!.classes);
    for (const count of classes) expect(count).toBeGreaterThanOrEqual(2);
  }, 180_000);

  it('follow names and leave with what is discarded', async () => {
    const { compare, samples, ui } = table();
    compare();
    expect(ui.getState().beside).toEqual(['hard', 'soft', 'looser']);
    samples.dispatch(renameVersion({ version: 2, name: 'ebb' }));
    expect(ui.getState().beside).toEqual(['hard', 'ebb', 'looser']);
    putBeside(ui, 0, 'looser');
    expect(ui.getState().beside).toEqual(['looser', 'ebb', 'hard']);
    samples.dispatch(deleteVersion(3));
    expect(ui.getState().beside).toEqual(['looser', 'ebb']);
    samples.dispatch(deleteVersion(2));
    samples.dispatch(deleteVersion(1));
    expect(ui.getState().shown).toBe('one');
    compare();
    expect(ui.getState().notice).toContain('No other version is kept');
  });
});
