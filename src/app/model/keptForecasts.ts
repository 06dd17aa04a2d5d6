import { createStore, type StoreApi } from 'zustand/vanilla';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import type { ForecastClient } from '#workers/forecastClient.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import { type Forecaster, weavesAlike } from './forecast.ts';
import { sampleCloth } from './sampleCloth.ts';
import type { TableStore } from './tableState.ts';

/** A version drawn beside the sample: its forecast, or why there is none, or neither as yet. */
export interface KeptCloth {
  readonly name: string;
  readonly body: SampleBody;
  readonly result: ForecastResult | undefined;
  readonly trouble: string | undefined;
}

/** In the order in which they are drawn; empty while none are. */
export type KeptStore = StoreApi<{ readonly cloths: readonly KeptCloth[] }>;

type Answer = { readonly result: ForecastResult } | { readonly trouble: string };

/**
 * Forecasts the versions that are drawn beside the sample, one after the other, in the worker of the sample itself and
 * only while that has nothing to do. An edit of the sample takes the worker over; what was under way begins again later.
 */
export function followKept(
  samples: SampleStore,
  ui: TableStore,
  forecast: Forecaster,
  client: ForecastClient,
): KeptStore {
  const state: KeptStore = createStore(() => ({ cloths: [] as readonly KeptCloth[] }));
  const answers = new Map<SampleBody, Answer>();
  let asked: SampleBody | undefined;

  function answerFor(body: SampleBody): Answer | undefined {
    const { result, status } = forecast.state.getState();
    const onTable = weavesAlike(samples.state.getState().sample, body);
    return onTable && result && status === 'settled' ? { result } : answers.get(body);
  }

  function update(): void {
    const { shown, beside } = ui.getState();
    const { versions } = samples.state.getState().sample;
    const wanted = shown === 'kept' ? beside.flatMap((name) => versions.filter((each) => each.name === name)) : [];
    // Packed cloths are large: only those in sight are kept.
    for (const body of answers.keys()) if (!wanted.some((each) => each.body === body)) answers.delete(body);
    const old = state.getState().cloths;
    const cloths = wanted.map(({ name, body }, k): KeptCloth => {
      const answer = answerFor(body);
      const result = answer && 'result' in answer ? answer.result : undefined;
      const trouble = answer && 'trouble' in answer ? answer.trouble : undefined;
      const before = old[k];
      const same = before?.name === name && before.body === body && before.result === result;
      return same && before.trouble === trouble ? before : { name, body, result, trouble };
    });
    if (cloths.length !== old.length || cloths.some((cloth, k) => cloth !== old[k])) state.setState({ cloths });
    askNext();
  }

  function askNext(): void {
    const { status } = forecast.state.getState();
    if (asked || samples.state.getState().gesture !== null || (status !== 'settled' && status !== 'failed')) return;
    const next = state.getState().cloths.find(({ body }) => answerFor(body) === undefined);
    if (!next) return;
    const { body } = next;
    const cloth = sampleCloth({ ...body, versions: [] });
    const take = (answer: Answer) => {
      asked = undefined;
      answers.set(body, answer);
      update();
    };
    if (!cloth.ok) {
      take({ trouble: cloth.trouble.why });
      return;
    }
    asked = body;
    const { problem, materials } = cloth.value;
    client.request(
      { region: 'whole', quality: 'settled', problem, materials },
      { onDone: (result) => take({ result }), onFailed: (_where, why) => take({ trouble: why }) },
    );
  }

  forecast.state.subscribe(({ status }, before) => {
    // The sample's own question has ended ours, which will not be answered.
    if (status === 'working' && before.status !== 'working') asked = undefined;
    update();
  });
  samples.state.subscribe(update);
  ui.subscribe((now, before) => {
    if (now.shown !== before.shown || now.beside !== before.beside) update();
  });
  return state;
}
