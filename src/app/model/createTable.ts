import { keepVersion } from '#document/commands/versionCommands.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import type { ForecastClient } from '#workers/forecastClient.ts';
import { createForecaster } from './forecast.ts';
import { createSavedStore, type TableModel } from './tableModel.ts';
import { createTableStore } from './tableState.ts';
import { weaveWith } from './weaving.ts';

export interface TableParts {
  readonly initial: Sample;
  readonly ready: readonly Sample[];
  readonly stock: readonly YarnCard[];
  readonly client: ForecastClient;
  readonly files: Pick<TableModel, 'openFile' | 'saveFile' | 'readFile'>;
}

/** Puts a table together; `follow` on its forecaster starts the forecasts. */
export function createTable(parts: TableParts): TableModel {
  const samples = createSampleStore(parts.initial);
  const ui = createTableStore();
  const forecast = createForecaster(samples, parts.client);
  forecast.state.subscribe(({ result }, before) => {
    if (!result || result === before.result) return;
    const { endXMm, rowYMm } = result.geometry;
    ui.getState().setExtent({
      minXMm: endXMm[0],
      maxXMm: endXMm[endXMm.length - 1],
      minYMm: rowYMm[0],
      maxYMm: rowYMm[rowYMm.length - 1],
    });
  });
  return {
    samples,
    ui,
    forecast,
    ready: parts.ready,
    stock: parts.stock,
    saved: createSavedStore(),
    picture: { view: undefined },
    keepVersion() {
      const { versions } = samples.state.getState().sample;
      let number = versions.length + 1;
      while (versions.some((version) => version.name === versionName(number))) number++;
      const refusal = samples.dispatch(keepVersion({ name: versionName(number) }));
      ui.getState().say(refusal ? refusal.message : `Kept beside as ${versionName(number)}.`);
    },
    weaveWith(yarnId, kind, range, replacing) {
      ui.getState().say(weaveWith(samples, parts.stock, yarnId, kind, range, replacing));
    },
    ...parts.files,
  };
}

function versionName(number: number): string {
  return `Version ${number}`;
}
