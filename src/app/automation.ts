import type { Sample } from '#document/schema/sampleSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import type { CaptureResult, ClothViewApi } from '#render/clothViewTypes.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import type { TableModel } from './model/tableModel.ts';
import type { TableStore } from './model/tableState.ts';

/**
 * `window.forecloth`: the page as scripts drive it (tests, pictures for the guide). It can do nothing that a person at
 * the page cannot.
 *
 *   await forecloth.ready;                             // the first settled cloth is on screen
 *   forecloth.store.dispatch(command);                 // commands as in #document/commands
 *   await forecloth.whenSettled();                     // forecast and picture have caught up
 *   const { pixels } = await forecloth.capture(640, 480, 16);
 */
export interface Automation {
  /** Resolves when the first forecast is settled and drawn to its finest (or cannot be drawn). */
  readonly ready: Promise<void>;
  /** The sample and its history. */
  readonly store: SampleStore;
  /** What the page shows: pose, selection, drawer, preferences. */
  readonly ui: TableStore;
  /** The picture; undefined before the first frame and where there is no WebGL 2. */
  readonly view: ClothViewApi | undefined;
  /** The newest answer of the forecast. */
  readonly forecast: ForecastResult | undefined;
  readonly sample: Sample;
  whenSettled(): Promise<void>;
  /** RGBA, top row first. @throws Error where there is no picture in the round. */
  capture(widthPx: number, heightPx: number, samples: number): Promise<CaptureResult>;
}

declare global {
  interface Window {
    forecloth?: Automation;
  }
}

export function createAutomation(table: TableModel): Automation {
  const whenSettled = async () => {
    await table.forecast.settled();
    await pictureSettled(table.ui);
  };
  return {
    ready: whenSettled(),
    store: table.samples,
    ui: table.ui,
    get view() {
      return table.picture.view;
    },
    get forecast() {
      return table.forecast.state.getState().result;
    },
    get sample() {
      return table.samples.state.getState().sample;
    },
    whenSettled,
    async capture(widthPx, heightPx, samples) {
      const { view } = table.picture;
      if (!view) throw new Error('There is no picture to take: this page cannot draw in the round, or not yet.');
      return view.capture(widthPx, heightPx, samples);
    },
  };
}

/**
 * Resolves once the picture rests: drawn to its finest, or impossible. A lost picture is waited for; one under a light
 * that turns never rests, and is not.
 */
function pictureSettled(ui: TableStore): Promise<void> {
  const rests = () => {
    const { picture, moving, lightTurning } = ui.getState();
    return lightTurning || (!moving && (picture === 'settled' || picture === 'impossible'));
  };
  if (rests()) return Promise.resolve();
  return new Promise((resolve) => {
    const stop = ui.subscribe(() => {
      if (!rests()) return;
      stop();
      resolve();
    });
  });
}
