import { createStore, type StoreApi } from 'zustand/vanilla';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { ForecastClient } from '#workers/forecastClient.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import { type Forecaster, weavesAlike } from './forecast.ts';
import { type SampleCloth, sampleCloth } from './sampleCloth.ts';
import type { TableStore } from './tableState.ts';

/** A version drawn beside the sample: its forecast, or why there is none, or neither as yet. */
export interface KeptCloth {
  readonly name: string;
  readonly body: SampleBody;
  readonly result: ForecastResult | undefined;
  /** What `result` is from afar, once that is known. */
  readonly far: FarCloth | undefined;
  readonly farTrouble: string | undefined;
  readonly trouble: string | undefined;
}

/** In the order in which they are drawn; empty while none are. */
export type KeptStore = StoreApi<{ readonly cloths: readonly KeptCloth[] }>;

type Answer = Pick<KeptCloth, 'result' | 'far' | 'farTrouble' | 'trouble'>;

const unanswered: Answer = { result: undefined, far: undefined, farTrouble: undefined, trouble: undefined };
const fields = ['name', 'body', 'result', 'far', 'farTrouble', 'trouble'] as const;

/**
 * Forecasts the versions that are drawn beside the sample one after the other, and then what each is from afar, in a
 * worker of their own: that of the sample is left to finish what it has to tell. It is begun once the sample is settled,
 * and ended when nothing is left to ask.
 */
export function followKept(
  samples: SampleStore,
  ui: TableStore,
  forecast: Forecaster,
  startClient: () => ForecastClient,
): KeptStore {
  const state: KeptStore = createStore(() => ({ cloths: [] as readonly KeptCloth[] }));
  const answers = new Map<SampleBody, Answer>();
  let client: ForecastClient | undefined;
  let asked: SampleBody | undefined;

  /** What the table tells of a version's cloth just now, where that is the cloth it tells of. */
  function ofTable(body: SampleBody): Answer | undefined {
    const { result, resultOf, status, far, farTrouble } = forecast.state.getState();
    if (!result || !resultOf || status !== 'settled' || resultOf.state !== ui.getState().clothState) return undefined;
    return weavesAlike(resultOf.sample, body) ? { ...unanswered, result, far, farTrouble } : undefined;
  }

  /** What is known stays, also where an edit leaves a version or comes to it: the same cloth is not drawn anew. */
  function answerFor(body: SampleBody): Answer {
    const known = answers.get(body) ?? unanswered;
    const told = ofTable(body);
    if (!told || (known.result && known.result !== told.result)) return known;
    const answer = { ...told, far: told.far ?? known.far };
    answers.set(body, answer);
    return answer;
  }

  function update(): void {
    const { shown, beside } = ui.getState();
    const { versions } = samples.state.getState().sample;
    const wanted = shown === 'kept' ? beside.flatMap((name) => versions.filter((each) => each.name === name)) : [];
    // Packed cloths are large: only those in sight are kept.
    for (const body of answers.keys()) if (!wanted.some((each) => each.body === body)) answers.delete(body);
    const old = state.getState().cloths;
    const cloths = wanted.map(({ name, body }, k): KeptCloth => {
      const cloth = { name, body, ...answerFor(body) };
      return old[k] && fields.every((field) => old[k][field] === cloth[field]) ? old[k] : cloth;
    });
    if (cloths.length !== old.length || cloths.some((cloth, k) => cloth !== old[k])) state.setState({ cloths });
    askNext();
  }

  function rest(): void {
    asked = undefined;
    client?.dispose();
    client = undefined;
  }

  function askNext(): void {
    const { cloths } = state.getState();
    if (asked && !cloths.some(({ body }) => body === asked)) rest();
    const { status } = forecast.state.getState();
    if (asked || samples.state.getState().gesture !== null || (status !== 'settled' && status !== 'failed')) return;
    const next =
      cloths.find(({ result, trouble }) => result === undefined && trouble === undefined) ??
      cloths.find(
        (cloth) => cloth.result && !cloth.far && !cloth.farTrouble && ofTable(cloth.body)?.result !== cloth.result,
      );
    if (next) ask(next);
    else rest();
  }

  function ask({ body, result }: KeptCloth): void {
    const take = (answer: Partial<Answer>) => {
      asked = undefined;
      answers.set(body, { ...(answers.get(body) ?? unanswered), ...answer });
      update();
    };
    const cloth = sampleCloth({ ...body, versions: [] }, ui.getState().clothState);
    if (!cloth.ok) {
      take({ trouble: cloth.trouble.why });
      return;
    }
    asked = body;
    client ??= startClient();
    if (result) askFar(client, result, take);
    else askCloth(client, cloth.value, take);
  }

  forecast.state.subscribe(update);
  samples.state.subscribe(update);
  ui.subscribe((now, before) => {
    if (now.clothState !== before.clothState) {
      rest();
      answers.clear();
      update();
    } else if (now.shown !== before.shown || now.beside !== before.beside) update();
  });
  return state;
}

function askCloth(
  client: ForecastClient,
  { problem, materials, cuttings, bends, leaves, wanted }: SampleCloth,
  take: (answer: Partial<Answer>) => void,
) {
  client.request(
    { region: 'whole', quality: 'settled', problem, state: wanted, materials, cuttings, bends, leaves },
    { onDone: (result) => take({ result }), onFailed: (_where, why) => take({ trouble: why }) },
  );
}

function askFar(client: ForecastClient, { packed }: ForecastResult, take: (answer: Partial<Answer>) => void) {
  client.requestFar(
    { packed },
    { onFar: (far) => take({ far }), onFailed: (_where, why) => take({ farTrouble: why }) },
  );
}
