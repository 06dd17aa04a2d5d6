import { describe, expect, it } from 'vitest';
import { keepBesideTidy, putBeside, showKept } from '#app/model/beside.ts';
import { createForecaster } from '#app/model/forecast.ts';
import { followKept } from '#app/model/keptForecasts.ts';
import { createTableStore } from '#app/model/tableState.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import { deleteVersion, keepVersion, renameVersion } from '#document/commands/versionCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import type { ForecastClient, ForecastHandlers } from '#workers/forecastClient.ts';
import type { ForecastJob, ForecastResult } from '#workers/protocol.ts';

type Job = Omit<ForecastJob, 'jobId' | 'revision'>;
const microtasks = () => new Promise((resolve) => setTimeout(resolve, 0));
const firmness = (job: Job) => job.problem.beat.firmness[0];
const resultOf = (job: Job) => ({ readings: { firmness: firmness(job) } }) as unknown as ForecastResult;

/** The client answers when told to, and only its newest question, as the worker does. */
function table() {
  const samples = createSampleStore(smallSample());
  for (const [name, value] of [
    ['soft', 0.2],
    ['hard', 0.9],
  ] as const) {
    samples.dispatch(setBeat({ firmness: value }));
    samples.dispatch(keepVersion({ name }));
  }
  samples.dispatch(setBeat({ firmness: 0.5 }));
  const jobs: { readonly job: Job; readonly handlers: ForecastHandlers }[] = [];
  const client = {
    request: (job: Job, handlers: ForecastHandlers) => jobs.push({ job, handlers }),
  } as unknown as ForecastClient;
  const ui = createTableStore();
  const forecast = createForecaster(samples, client);
  const kept = followKept(samples, ui, forecast, client);
  keepBesideTidy(samples, ui);
  forecast.follow();
  const answer = async () => {
    const { job, handlers } = jobs[jobs.length - 1];
    handlers.onDone(resultOf(job));
    await microtasks();
  };
  const compare = () => showKept(ui, samples.state.getState().sample);
  const drawn = () =>
    kept
      .getState()
      .cloths.map(({ name, result }) => [
        name,
        (result?.readings as unknown as { firmness: number } | undefined)?.firmness,
      ]);
  return { samples, jobs, ui, kept, answer, compare, drawn, asked: () => jobs.map(({ job }) => firmness(job)) };
}

describe('versions drawn beside the sample', () => {
  it('are forecast one after the other, the newest first, once the sample itself is settled', async () => {
    const { answer, asked, compare, drawn } = table();
    await microtasks();
    compare();
    expect(asked()).toEqual([0.5]);
    await answer();
    expect(asked()).toEqual([0.5, 0.9]);
    await answer();
    expect(asked()).toEqual([0.5, 0.9, 0.2]);
    await answer();
    expect(drawn().slice(0, 2)).toEqual([
      ['hard', 0.9],
      ['soft', 0.2],
    ]);
  });

  it('give way to an edit of the sample and are asked for again after it', async () => {
    const { answer, asked, compare, drawn, samples, jobs } = table();
    await microtasks();
    compare();
    await answer();
    samples.dispatch(setBeat({ firmness: 0.6 }));
    await microtasks();
    expect(asked()).toEqual([0.5, 0.9, 0.6]);
    await answer();
    expect(asked()).toEqual([0.5, 0.9, 0.6, 0.9]);
    expect(jobs[3].job.quality).toBe('settled');
    await answer();
    expect(drawn()[0]).toEqual(['hard', 0.9]);
    // What is known of versions stays known: only the one that the edit interrupts is asked for again.
    await answer();
    samples.dispatch(setBeat({ firmness: 0.65 }));
    await microtasks();
    await answer();
    expect(asked().slice(5)).toEqual([0.3, 0.65, 0.3]);
  });

  it('weigh nothing while they are not drawn, and take the sample itself where they weave alike', async () => {
    const { answer, asked, compare, drawn, samples, kept, ui } = table();
    await microtasks();
    await answer();
    expect(asked()).toEqual([0.5]);
    compare();
    for (let k = 0; k < 3; k++) await answer();
    compare();
    expect(ui.getState().shown).toBe('one');
    expect(kept.getState().cloths).toEqual([]);
    samples.dispatch(keepVersion({ name: 'as it is' }));
    compare();
    putBeside(ui, 0, 'as it is');
    expect(drawn()[0]).toEqual(['as it is', 0.5]);
  });

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
