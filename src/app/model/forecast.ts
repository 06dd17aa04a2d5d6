import { createStore, type StoreApi } from 'zustand/vanilla';
import { yarnUse } from '#document/commands/yarnCommands.ts';
import type { Sample, SampleBody } from '#document/schema/sampleSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import type { Progress } from '#engine/cloth/clothTypes.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { GrinTable } from '#engine/packing/far/grin.ts';
import type { Turns } from '#engine/packing/far/turnColour.ts';
import type { ForecastClient } from '#workers/forecastClient.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import { type SampleCloth, sampleCloth } from './sampleCloth.ts';

/** Which cloth is asked for: one of these for each, however often and closely it is worked out. */
export interface AskedCloth {
  readonly sample: SampleBody;
  readonly state: ClothState;
}

export interface ForecastState {
  /** What was asked for last; its threads and colours are drawn at the places of `result`. */
  readonly cloth: SampleCloth | undefined;
  /** The newest answer, and the cloth it answers for. */
  readonly result: ForecastResult | undefined;
  readonly resultCloth: SampleCloth | undefined;
  /** What was asked for last, and what `result` is of: the same, where the answer awaited is only a finer one. */
  readonly asked: AskedCloth | undefined;
  readonly resultOf: AskedCloth | undefined;
  /** What `result` is from afar, once that is known. */
  readonly far: FarCloth | undefined;
  /** How its colour moves as it is turned. */
  readonly turns: Turns | undefined;
  /** Where it shows yarn that the draft hides. */
  readonly grin: GrinTable | undefined;
  /** Why far, turns or grin will not come for `result`. */
  readonly farTrouble: string | undefined;
  /** 'preview': an answer is shown that a finer one will replace; 'stopped': none will, until asked to go on. */
  readonly status: 'idle' | 'working' | 'preview' | 'stopped' | 'settled' | 'failed';
  readonly progress: Progress | undefined;
  readonly trouble: { readonly where: string; readonly why: string } | undefined;
}

export type ForecastStore = StoreApi<ForecastState>;

export interface Forecaster {
  readonly state: ForecastStore;
  /** Starts asking for every change; returns what stops it. */
  follow(): () => void;
  /** Ends the work under way; what is shown stays. The next change starts it anew. */
  stop(): void;
  /** Takes up again what was stopped. */
  goOn(): void;
  /** Resolves once the newest sample's settled answer is there, or its failure; goes on where it was stopped. */
  settled(): Promise<void>;
}

/** In which state the cloth is looked at, and who wants to know of changes. */
export interface ShownState {
  get(): ClothState;
  subscribe(changed: () => void): () => void;
}

const ON_LOOM: ShownState = { get: () => 'onLoom', subscribe: () => () => {} };

/**
 * Keeps the forecast up with the sample. While a gesture runs, a preview under way is let finish before the next is
 * asked for, so that the cloth follows the hand instead of starting over at every move.
 */
export function createForecaster(
  samples: SampleStore,
  client: ForecastClient,
  shown: ShownState = ON_LOOM,
): Forecaster {
  const state = createStore<ForecastState>(() => ({
    cloth: undefined,
    result: undefined,
    resultCloth: undefined,
    asked: undefined,
    resultOf: undefined,
    far: undefined,
    turns: undefined,
    grin: undefined,
    farTrouble: undefined,
    status: 'idle',
    progress: undefined,
    trouble: undefined,
  }));
  let asked: Sample | undefined;
  let askedState: ClothState = 'onLoom';
  let askedQuality: 'preview' | 'settled' = 'settled';
  let answering = false;
  let scheduled = false;

  function ask(): void {
    scheduled = false;
    const { sample, gesture } = samples.state.getState();
    const quality = gesture === null ? 'settled' : 'preview';
    const inState = shown.get();
    const known = asked && weavesAlike(sample, asked) && inState === askedState;
    if (known && (quality === 'preview' || askedQuality === 'settled')) return;
    if (answering && gesture !== null) return;
    asked = sample;
    askedState = inState;
    askedQuality = quality;
    const cloth = sampleCloth(sample, inState);
    if (!cloth.ok) {
      answering = false;
      state.setState({ status: 'failed', trouble: cloth.trouble, progress: undefined });
      return;
    }
    answering = true;
    const { problem, materials, cuttings, bends, leaves, wanted } = cloth.value;
    const now = state.getState();
    const of = [now.resultOf, now.asked].find(
      (each) => each?.state === inState && weavesAlike(sample, each.sample),
    ) ?? { sample, state: inState };
    state.setState({ cloth: cloth.value, asked: of, status: 'working', progress: undefined, trouble: undefined });
    const answer = (result: ForecastResult, status: 'preview' | 'settled') => {
      answering = false;
      state.setState({
        result,
        resultCloth: cloth.value,
        resultOf: of,
        far: undefined,
        turns: undefined,
        grin: undefined,
        farTrouble: undefined,
        status,
        progress: undefined,
      });
      schedule();
    };
    client.request(
      { region: 'whole', quality, far: true, problem, state: wanted, materials, cuttings, bends, leaves },
      {
        onProgress: (progress) => state.setState({ progress }),
        onPartial: (result) => answer(result, 'preview'),
        onDone: (result) => answer(result, quality),
        onFar: (far) => state.setState({ far }),
        onTurns: (turns) => state.setState({ turns }),
        onGrin: (grin) => state.setState({ grin }),
        onFarFailed: (_where, why) => state.setState({ farTrouble: why }),
        onFailed: (where, why) => {
          answering = false;
          state.setState({ status: 'failed', trouble: { where, why }, progress: undefined });
          schedule();
        },
      },
    );
  }

  function schedule(): void {
    if (scheduled) return;
    scheduled = true;
    queueMicrotask(ask);
  }

  function goOn(): void {
    if (state.getState().status !== 'stopped') return;
    asked = undefined;
    schedule();
  }

  const isSettled = () => {
    const { status } = state.getState();
    const { sample, gesture } = samples.state.getState();
    return (
      asked !== undefined &&
      weavesAlike(sample, asked) &&
      shown.get() === askedState &&
      gesture === null &&
      (status === 'settled' || status === 'failed')
    );
  };

  return {
    state,
    follow() {
      schedule();
      const stops = [samples.state.subscribe(schedule), shown.subscribe(schedule)];
      return () => {
        for (const stop of stops) stop();
      };
    },
    stop() {
      const { status } = state.getState();
      if (status !== 'working' && status !== 'preview') return;
      answering = false;
      client.stop();
      state.setState({ status: 'stopped', progress: undefined });
    },
    goOn,
    settled() {
      if (isSettled()) return Promise.resolve();
      goOn();
      return new Promise((resolve) => {
        const stop = state.subscribe(() => {
          if (!isSettled()) return;
          stop();
          resolve();
        });
      });
    },
  };
}

/** What the cloth is made from; names, notes and kept versions change nothing of it. */
const woven = ['loom', 'warp', 'beat', 'picks', 'finish', 'afterLoom', 'faults'] as const;

/** Unchanged parts of a sample are shared with what it was before, so comparing references is enough. */
export function weavesAlike(a: SampleBody, b: SampleBody): boolean {
  return woven.every((part) => a[part] === b[part]) && yarnsAlike(a, b);
}

/** Whether all yarns that are woven are the same; those that only lie on the shelf change nothing of the cloth. */
function yarnsAlike(a: SampleBody, b: SampleBody): boolean {
  if (a.yarns === b.yarns) return true;
  return Object.keys({ ...a.yarns, ...b.yarns }).every((id) => a.yarns[id] === b.yarns[id] || yarnUse(a, id) === null);
}
