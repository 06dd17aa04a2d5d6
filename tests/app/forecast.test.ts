import { describe, expect, it } from 'vitest';
import { createForecaster } from '#app/model/forecast.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import { renameSample } from '#document/commands/sampleCommands.ts';
import { keepVersion } from '#document/commands/versionCommands.ts';
import { windWith } from '#document/commands/windCommands.ts';
import { addYarn, setYarnColour } from '#document/commands/yarnCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { ForecastClient, type ForecastHandlers } from '#workers/forecastClient.ts';
import type { ForecastJob, ForecastMessage, ForecastResult } from '#workers/protocol.ts';

type Job = Omit<ForecastJob, 'jobId' | 'revision'>;

/** Stands where the worker's client stands, and answers when told to: what is under test is when it is asked. */
function handWorked() {
  const jobs: { readonly job: Job; readonly handlers: ForecastHandlers }[] = [];
  const stops: number[] = [];
  const client = {
    request: (job: Job, handlers: ForecastHandlers) => jobs.push({ job, handlers }),
    stop: () => stops.push(jobs.length),
  };
  return { jobs, client: client as unknown as ForecastClient, stops };
}

const answer = {} as ForecastResult;
const microtasks = () => new Promise((resolve) => setTimeout(resolve, 0));
const firmness = (job: Job) => job.problem.beat.firmness[0];

/** A forecaster that has asked for the small sample. */
async function following() {
  const samples = createSampleStore(smallSample());
  const { client, ...worked } = handWorked();
  const forecaster = createForecaster(samples, client);
  forecaster.follow();
  await microtasks();
  return { samples, forecaster, ...worked };
}

describe('keeping the forecast up with the sample', () => {
  it('asks for the settled cloth, shows the preview on the way and settles', async () => {
    const { jobs, forecaster } = await following();
    expect(jobs.map(({ job }) => job.quality)).toEqual(['settled']);
    jobs[0].handlers.onPartial?.(answer);
    expect(forecaster.state.getState().status).toBe('preview');
    jobs[0].handlers.onDone(answer);
    await forecaster.settled();
    expect(forecaster.state.getState().status).toBe('settled');
  });

  it('lets a preview finish while a hand drags, then asks for where the hand is by then', async () => {
    const { samples, jobs } = await following();
    jobs[0].handlers.onDone(answer);
    samples.begin('shape the beat');
    await microtasks();
    // Taking hold changes nothing, so nothing is asked.
    expect(jobs.length).toBe(1);
    for (const value of [0.6, 0.5, 0.4]) {
      samples.dispatch(setBeat({ picks: { from: 1, to: 12 }, firmness: value }));
      await microtasks();
    }
    expect(jobs.length).toBe(2);
    expect([jobs[1].job.quality, firmness(jobs[1].job)]).toEqual(['preview', 0.6]);
    jobs[1].handlers.onDone(answer);
    await microtasks();
    expect(jobs.length).toBe(3);
    expect([jobs[2].job.quality, firmness(jobs[2].job)]).toEqual(['preview', 0.4]);
    samples.commit();
    await microtasks();
    expect([jobs[3].job.quality, firmness(jobs[3].job)]).toEqual(['settled', 0.4]);
  });

  it('stops where she says so, keeps what is shown, and goes on from there or with the next change', async () => {
    const { samples, jobs, stops, forecaster } = await following();
    jobs[0].handlers.onPartial?.(answer);
    forecaster.stop();
    expect(stops).toEqual([1]);
    expect(forecaster.state.getState()).toMatchObject({ status: 'stopped', result: answer });
    await microtasks();
    expect(jobs.length).toBe(1);
    forecaster.goOn();
    await microtasks();
    expect(jobs.length).toBe(2);
    forecaster.stop();
    samples.dispatch(setBeat({ picks: { from: 1, to: 12 }, firmness: 0.2 }));
    await microtasks();
    expect(jobs.map(({ job }) => firmness(job))).toEqual([0.7, 0.7, 0.2]);
    // Who waits for the settled cloth gets it: nothing is saved or printed from a preview.
    forecaster.stop();
    const waited = forecaster.settled();
    await microtasks();
    expect(jobs.length).toBe(4);
    jobs[3].handlers.onDone(answer);
    await waited;
    expect(forecaster.state.getState().status).toBe('settled');
  });

  it('knows a finer answer of the same cloth from one of another cloth', async () => {
    const { samples, jobs, forecaster } = await following();
    const awaitsOther = () => {
      const { asked, resultOf } = forecaster.state.getState();
      return asked !== resultOf;
    };
    expect(awaitsOther()).toBe(true);
    jobs[0].handlers.onPartial?.(answer);
    expect(awaitsOther()).toBe(false);
    forecaster.stop();
    forecaster.goOn();
    await microtasks();
    expect([forecaster.state.getState().status, awaitsOther()]).toEqual(['working', false]);
    jobs[1].handlers.onDone(answer);
    samples.begin('shape the beat');
    samples.dispatch(setBeat({ picks: { from: 1, to: 12 }, firmness: 0.6 }));
    await microtasks();
    expect(awaitsOther()).toBe(true);
    jobs[2].handlers.onDone(answer);
    await microtasks();
    samples.commit();
    await microtasks();
    // The settled cloth is asked for, whose preview is there.
    expect([jobs[3].job.quality, forecaster.state.getState().status, awaitsOther()]).toEqual([
      'settled',
      'working',
      false,
    ]);
    samples.undo();
    await microtasks();
    expect(awaitsOther()).toBe(true);
  });

  it('an edit outside a gesture does not wait for the answer before it', async () => {
    const { samples, jobs } = await following();
    samples.dispatch(setBeat({ picks: { from: 1, to: 12 }, firmness: 0.2 }));
    await microtasks();
    expect(jobs.map(({ job }) => firmness(job))).toEqual([0.7, 0.2]);
  });

  it('keeping a version or renaming asks for nothing', async () => {
    const { samples, jobs, forecaster } = await following();
    jobs[0].handlers.onDone(answer);
    samples.dispatch(keepVersion({ name: 'as it is' }));
    samples.dispatch(renameSample('slipway'));
    await microtasks();
    expect(jobs.length).toBe(1);
    await forecaster.settled();
  });

  it('a yarn laid on the shelf asks for nothing until it is woven', async () => {
    const { samples, jobs } = await following();
    jobs[0].handlers.onDone(answer);
    const spare = { ...samples.state.getState().sample.yarns.gull, id: 'spare', name: 'spare' };
    samples.dispatch(addYarn(spare));
    samples.dispatch(setYarnColour({ yarn: 'spare', coneColour: '#204060' }));
    await microtasks();
    expect(jobs.length).toBe(1);
    samples.dispatch(setYarnColour({ yarn: 'gull', coneColour: '#204060' }));
    await microtasks();
    expect(jobs.length).toBe(2);
    jobs[1].handlers.onDone(answer);
    samples.dispatch(windWith({ picks: { from: 1, to: 2 }, yarn: 'spare' }));
    await microtasks();
    expect(jobs.length).toBe(3);
    samples.dispatch(setYarnColour({ yarn: 'spare', coneColour: '#a04060' }));
    await microtasks();
    expect(jobs.length).toBe(4);
  });

  it('stays settled where what follows the cloth cannot be, and says why', async () => {
    const worker = { onmessage: undefined as ((event: { data: Partial<ForecastMessage> }) => void) | undefined };
    const jobIds: number[] = [];
    const postMessage = ({ jobId }: ForecastJob) => jobIds.push(jobId);
    const client = new ForecastClient(Object.assign(worker, { postMessage }) as unknown as Worker);
    const forecaster = createForecaster(createSampleStore(smallSample()), client);
    forecaster.follow();
    await microtasks();
    const [jobId] = jobIds;
    worker.onmessage?.({ data: { kind: 'done', jobId, result: answer } });
    worker.onmessage?.({ data: { kind: 'failed', jobId, where: 'far patches', why: 'too many' } });
    await forecaster.settled();
    const { status, farTrouble, trouble } = forecaster.state.getState();
    expect([status, farTrouble, trouble]).toEqual(['settled', 'too many', undefined]);
  });

  it('says why a forecast failed, and goes on with the next edit', async () => {
    const { samples, jobs, forecaster } = await following();
    jobs[0].handlers.onFailed('pick 3', 'it is too thick');
    await forecaster.settled();
    expect(forecaster.state.getState().trouble).toEqual({ where: 'pick 3', why: 'it is too thick' });
    samples.dispatch(setBeat({ picks: { from: 1, to: 12 }, firmness: 0.2 }));
    await microtasks();
    expect(jobs.length).toBe(2);
    expect(forecaster.state.getState().trouble).toBeUndefined();
  });
});
