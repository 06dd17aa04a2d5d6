import { createStore } from 'zustand/vanilla';
import { weavePicture } from '#app/draft/draftEdits.ts';
import { createPictureWork } from '#app/picture/pictureWork.ts';
import { keepVersion } from '#document/commands/versionCommands.ts';
import type { DocumentProblem, Outcome } from '#document/problem.ts';
import { versionOnTable } from '#document/sameSample.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import type { Autosave } from '#io/autosave/autosave.ts';
import { writeDrawdownPng } from '#io/drawdownPng.ts';
import { INTERCHANGE_EXTENSION, writeSampleInterchange } from '#io/interchange/sampleInterchange.ts';
import { onLoomAsLeft, rememberLoom } from '#io/loomMemory.ts';
import { chooseSampleFile, readOpenedFile } from '#io/openFile.ts';
import { listPresets, readAllYarnPresets, readSamplePreset, readYarnPreset } from '#io/presets.ts';
import { sampleFileName } from '#io/sampleFile.ts';
import { downloadFile, type SaveHandle, type SaveOutcome, saveSampleFile } from '#io/saveFile.ts';
import { ForecastClient } from '#workers/forecastClient.ts';
import { keepBesideTidy } from './beside.ts';
import { createCardPictures } from './cardPictures.ts';
import { extentOf } from './clothPose.ts';
import { createForecaster } from './forecast.ts';
import { followKept } from './keptForecasts.ts';
import { createLayingSamples } from './layingSamples.ts';
import { keepNoticesTrue, type NoticeTerm } from './notices.ts';
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
  const shownState = {
    get: () => ui.getState().clothState,
    subscribe: (changed: () => void) =>
      ui.subscribe((now, before) => {
        if (now.clothState !== before.clothState) changed();
      }),
  };
  const forecast = createForecaster(samples, client, shownState);
  forecast.state.subscribe(({ result }, before) => {
    if (!result || result === before.result) return;
    ui.getState().setExtent(extentOf(result.packed));
    // What was marked lies elsewhere in another cloth.
    ui.getState().mark(undefined);
  });
  const kept = followKept(samples, ui, forecast, () => new ForecastClient());
  keepBesideTidy(samples, ui);
  keepNoticesTrue(samples, ui);
  samples.state.subscribe(({ sample: now }, { sample: before }) => {
    // What is noted of a loom (and undone) is the loom's own; a sample put in place of another brings its picks.
    if (now.loom !== before.loom && now.loom.id === before.loom.id && now.picks === before.picks)
      rememberLoom(now.loom);
  });
  const stock = createStore<{ cards: readonly YarnCard[] | undefined }>(() => ({ cards: undefined }));
  const say = (notice: string, term?: Partial<NoticeTerm>) => ui.getState().say(notice, term);

  /** Where the sample of this name was saved last: undo may bring back another, which must not go into its file. */
  let lastSaved: { readonly name: string; readonly handle: SaveHandle } | undefined;

  const laying = createLayingSamples(samples, autosave);
  /** One sample after the other, however fast they are chosen. */
  let turn: Promise<void> = Promise.resolve();
  function inTurn(work: () => Promise<void>): Promise<void> {
    turn = turn.then(work, work);
    return turn;
  }

  /** What was read, or undefined and the reason told. */
  function opened<Value>(outcome: Outcome<Value>, from: string): Value | undefined {
    if (outcome.ok) return outcome.value;
    const more = outcome.problems.length > 1 ? ` (and ${outcome.problems.length - 1} more)` : '';
    say(`${from} was not opened. ${outcome.problems[0].message}${more}`, { stays: true });
    return undefined;
  }

  function begin(refusal: DocumentProblem | null, words: string): void {
    lastSaved = undefined;
    ui.getState().select(undefined);
    ui.getState().chooseYarn(undefined);
    ui.getState().layFaceUp();
    say(refusal ? refusal.message : words);
  }

  async function takeReady(id: string): Promise<void> {
    const sample = opened(await readSamplePreset(id), id);
    if (!sample) return;
    const left = await laying.recall(sample.name);
    const refusal = await laying.lay(onLoomAsLeft(left?.sample ?? sample), left?.tableId);
    const how = left ? `${sample.name} is on the table as you left it` : `${sample.name} is on the table`;
    const trouble = left?.fellBackBecause
      ? ` Its last save could not be read, so this is an earlier one. ${left.fellBackBecause.message}`
      : autosave.state.getState().takenOver
        ? ' It was open in another tab; it is saved from here now.'
        : '';
    begin(refusal, `${how}. Undo brings the last one back.${trouble}`);
  }

  async function takeAfresh(id: string): Promise<void> {
    const sample = opened(await readSamplePreset(id), id);
    if (sample)
      begin(
        laying.layAfresh(onLoomAsLeft(sample)),
        `${sample.name} is as it came with the program. Undo brings yours back.`,
      );
  }

  async function layNew(sample: Sample): Promise<void> {
    let name = sample.name;
    const taken = async () =>
      table.ready.some((other) => other.name === name) ||
      samples.state.getState().sample.name === name ||
      (await laying.recall(name)) !== null;
    for (let number = 2; await taken(); number++) name = `${sample.name} ${number}`;
    begin(
      await laying.lay(onLoomAsLeft({ ...sample, name })),
      `${name} is begun, in plain weave as far as its draw allows. Undo brings the last one back.`,
    );
  }

  async function readFile(file: File): Promise<void> {
    const read = opened(await readOpenedFile(file, () => readYarnPreset(spunLikeId)), file.name);
    if (!read) return;
    if (read.kind === 'drawdown') {
      weavePicture(table, read.read, file.name);
      return;
    }
    const told = [`${read.sample.name} is on the table.`, ...read.remarks, 'Undo brings the last one back.'];
    begin(await laying.lay(read.sample), told.join(' '));
  }

  const table: TableModel = {
    samples,
    ui,
    forecast,
    kept,
    ready: listPresets('samples'),
    stock,
    autosave,
    cards: createCardPictures(),
    pictures: createPictureWork(ui),
    picture: { view: undefined },
    async fetchStock() {
      if (!stock.getState().cards) stock.setState({ cards: await readAllYarnPresets() });
    },
    takeReady: (id) => inTurn(() => takeReady(id)),
    takeAfresh: (id) => inTurn(() => takeAfresh(id)),
    layNew: (sample) => inTurn(() => layNew(sample)),
    keepVersion() {
      const { sample } = samples.state.getState();
      const { versions } = sample;
      const same = versions[versionOnTable(sample)];
      if (same) {
        say(`Nothing has changed since "${same.name}": it is this cloth, so no second copy is kept.`);
        return;
      }
      let number = versions.length + 1;
      while (versions.some((version) => version.name === versionName(number))) number++;
      const refusal = samples.dispatch(keepVersion({ name: versionName(number) }));
      say(refusal ? refusal.message : `Kept beside as ${versionName(number)}. "Name…" calls it what you like.`);
    },
    weaveWith(yarnId, kind, range, replacing) {
      const { said, short } = weaveWith(samples, stock.getState().cards ?? [], yarnId, kind, range, replacing);
      say(said);
      if (!short) return;
      // What can be done with so short a weft is offered beside the picks that it was meant for.
      ui.getState().select({ kind: 'picks', range });
      ui.getState().showLaying(true, yarnId);
    },
    readFile: (file) => inTurn(() => readFile(file)),
    async openFile() {
      const file = await chooseSampleFile();
      if (file) await inTurn(() => readFile(file));
    },
    async saveFile() {
      const { sample } = samples.state.getState();
      const outcome = await saveSampleFile(sample, lastSaved?.name === sample.name ? lastSaved.handle : undefined);
      if (outcome.kind === 'cancelled') return;
      lastSaved = outcome.kind === 'saved' ? { name: sample.name, handle: outcome.handle } : undefined;
      say(saveWords(outcome), { stays: outcome.kind === 'failed' });
    },
    saveDraft() {
      const { sample } = samples.state.getState();
      const text = writeSampleInterchange(sample);
      if (!text.ok) {
        say(text.problems[0].message, { stays: true });
        return;
      }
      downloadFile(new Blob([text.value], { type: 'text/plain' }), sampleFileName(sample, INTERCHANGE_EXTENSION));
      say(
        'The draft is downloaded for exchange. Other programs read threading, lifts and colours of it; this one reads all.',
      );
    },
    saveDrawdown() {
      const { sample } = samples.state.getState();
      const { drawdown } = toClothProblem(sample).problem;
      const png = new Blob([writeDrawdownPng(drawdown)], { type: 'image/png' });
      downloadFile(png, sampleFileName(sample, '-drawdown.png'));
      say('The drawdown is downloaded as a picture of one pixel a crossing, black where the warp is up.');
    },
  };
  return table;
}

/** What a draft file's yarns are taken to be spun like: the commonest of the shelf. */
const spunLikeId = 'cotton-8-2';

function saveWords(outcome: Exclude<SaveOutcome, { kind: 'cancelled' }>): string {
  if (outcome.kind === 'failed') return outcome.reason;
  if (outcome.kind === 'saved') return 'Written to the file. The next save goes there too.';
  return `Downloaded as ${outcome.name}, to where this browser puts downloads.`;
}

function versionName(number: number): string {
  return `Version ${number}`;
}
