import { createStore } from 'zustand/vanilla';
import { keepVersion, loadSample } from '#document/commands/versionCommands.ts';
import type { Outcome } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import type { Autosave } from '#io/autosave/autosave.ts';
import { chooseSampleFile, readSampleFile } from '#io/openFile.ts';
import { listPresets, readAllYarnPresets, readSamplePreset } from '#io/presets.ts';
import { type SaveHandle, saveSampleFile } from '#io/saveFile.ts';
import type { ForecastClient } from '#workers/forecastClient.ts';
import { extentOf } from './clothPose.ts';
import { createForecaster } from './forecast.ts';
import type { TableModel } from './tableModel.ts';
import { createTableStore } from './tableState.ts';
import { weaveWith } from './weaving.ts';

export interface TableParts {
  readonly samples: SampleStore;
  readonly autosave: Autosave;
  readonly client: ForecastClient;
}

/** Puts a table together; `follow` on its forecaster starts the forecasts. */
export function createTable({ samples, autosave, client }: TableParts): TableModel {
  const ui = createTableStore();
  const forecast = createForecaster(samples, client);
  forecast.state.subscribe(({ result }, before) => {
    if (!result || result === before.result) return;
    ui.getState().setExtent(extentOf(result.packed));
  });
  const stock = createStore<{ cards: readonly YarnCard[] | undefined }>(() => ({ cards: undefined }));
  const say = (notice: string) => ui.getState().say(notice);

  let handle: SaveHandle | undefined;

  async function put(outcome: Outcome<Sample>, from: string): Promise<void> {
    if (!outcome.ok) {
      const more = outcome.problems.length > 1 ? ` (and ${outcome.problems.length - 1} more)` : '';
      say(`${from} was not opened. ${outcome.problems[0].message}${more}`);
      return;
    }
    // What was on the table stays among this browser's saved samples under its own name.
    await autosave.openTable();
    handle = undefined;
    const refusal = samples.dispatch(loadSample(outcome.value));
    ui.getState().select(undefined);
    ui.getState().chooseYarn(undefined);
    ui.getState().fit();
    say(refusal ? refusal.message : `${outcome.value.name} is on the table. Undo brings the last one back.`);
  }

  async function readFile(file: File): Promise<void> {
    await put(await readSampleFile(file), file.name);
  }

  return {
    samples,
    ui,
    forecast,
    ready: listPresets('samples'),
    stock,
    autosave,
    picture: { view: undefined },
    async fetchStock() {
      if (!stock.getState().cards) stock.setState({ cards: await readAllYarnPresets() });
    },
    async takeReady(id) {
      await put(await readSamplePreset(id), id);
    },
    keepVersion() {
      const { versions } = samples.state.getState().sample;
      let number = versions.length + 1;
      while (versions.some((version) => version.name === versionName(number))) number++;
      const refusal = samples.dispatch(keepVersion({ name: versionName(number) }));
      say(refusal ? refusal.message : `Kept beside as ${versionName(number)}.`);
    },
    weaveWith(yarnId, kind, range, replacing) {
      say(weaveWith(samples, stock.getState().cards ?? [], yarnId, kind, range, replacing));
    },
    readFile,
    async openFile() {
      const file = await chooseSampleFile();
      if (file) await readFile(file);
    },
    async saveFile() {
      const outcome = await saveSampleFile(samples.state.getState().sample, handle);
      if (outcome.kind === 'saved') handle = outcome.handle;
      if (outcome.kind !== 'cancelled') say(outcome.kind === 'failed' ? outcome.reason : saveWords[outcome.kind]);
    },
  };
}

const saveWords = {
  saved: 'Written to the file. The next save goes there too.',
  downloaded: 'Downloaded as a file.',
} as const;

function versionName(number: number): string {
  return `Version ${number}`;
}
