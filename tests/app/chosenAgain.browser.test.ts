import { deleteDB } from 'idb';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { createTable } from '#app/model/createTable.ts';
import type { TableModel } from '#app/model/tableModel.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { startAutosave } from '#io/autosave/autosave.ts';
import { type AutosaveDb, openAutosaveDb } from '#io/autosave/autosaveDb.ts';
import { listRecent, restoreLatest } from '#io/autosave/restore.ts';
import { readSamplePreset } from '#io/presets.ts';
import { ForecastClient } from '#workers/forecastClient.ts';

let db: AutosaveDb;
let dbName: string;
let factory: Sample;
let table: TableModel;
let client: ForecastClient;

const sampleNow = () => table.samples.state.getState().sample;
const notice = () => table.ui.getState().notice;

/** Everything but what is drawn: the page as it opens on this storage. */
async function openPage(storage: AutosaveDb | null): Promise<void> {
  const restored = storage ? await restoreLatest(storage) : null;
  const samples = createSampleStore(restored?.sample ?? factory);
  const autosave = await startAutosave(samples, storage, restored ?? undefined);
  client = new ForecastClient();
  table = createTable({ samples, autosave, client });
}

async function closePage(): Promise<void> {
  await table.autosave.stop();
  client.dispose();
}

function workOn(firmness: number): void {
  table.samples.dispatch(setBeat({ firmness }));
  table.keepVersion();
}

beforeEach(async () => {
  dbName = `forecloth-test-${crypto.randomUUID()}`;
  db = await openAutosaveDb(dbName);
  const outcome = await readSamplePreset('mooring-ring');
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  factory = outcome.value;
  await openPage(db);
});

afterEach(async () => {
  await closePage();
  db.close();
  await deleteDB(dbName);
});

it('a sample chosen again comes back as it was left, with its kept versions', async () => {
  workOn(0.31);
  const left = sampleNow();
  await table.takeReady('signal-gamp');
  expect(sampleNow().name).toBe('signal gamp');
  workOn(0.52);
  const gampLeft = sampleNow();
  await table.takeReady('mooring-ring');
  expect(sampleNow()).toEqual(left);
  expect(notice()).toContain('as you left it');
  await table.takeReady('signal-gamp');
  expect(sampleNow()).toEqual(gampLeft);
  expect(await listRecent(db)).toHaveLength(2);
});

it('a sample put on the table lies face up and square, however the last one was turned', async () => {
  table.ui.getState().showPreset('low');
  table.ui.getState().turnOver();
  await table.takeReady('signal-gamp');
  const { yawRad, pitchRad } = table.ui.getState().pose;
  expect([yawRad, pitchRad]).toEqual([0, 0]);
  expect(table.ui.getState().fits).toBe(true);
});

it('the same after the page was opened anew', async () => {
  workOn(0.31);
  const left = sampleNow();
  await table.takeReady('signal-gamp');
  await closePage();
  await openPage(db);
  expect(sampleNow().name).toBe('signal gamp');
  await table.takeReady('mooring-ring');
  expect(sampleNow()).toEqual(left);
});

it('undo of the choice does not write the one sample over the other', async () => {
  workOn(0.31);
  const left = sampleNow();
  await table.takeReady('signal-gamp');
  await table.takeReady('mooring-ring');
  table.samples.undo();
  expect(sampleNow().name).toBe('signal gamp');
  workOn(0.52);
  await table.autosave.flush();
  await closePage();
  await openPage(db);
  expect(sampleNow().name).toBe('signal gamp');
  expect(sampleNow().beat.firmness).toBe(0.52);
  await table.takeReady('mooring-ring');
  expect(sampleNow()).toEqual(left);
});

it('samples chosen one upon the other in haste keep apart', async () => {
  workOn(0.31);
  const left = sampleNow();
  await Promise.all(['signal-gamp', 'channel-buoy', 'signal-gamp'].map((id) => table.takeReady(id)));
  expect(sampleNow().name).toBe('signal gamp');
  await table.takeReady('mooring-ring');
  expect(sampleNow()).toEqual(left);
});

it('started afresh it lies as the program brings it, and undo brings the changes back', async () => {
  workOn(0.31);
  const left = sampleNow();
  await table.takeAfresh('mooring-ring');
  expect(sampleNow()).toEqual(factory);
  table.samples.undo();
  expect(sampleNow()).toEqual(left);
});

it('comes back within the visit even where the browser keeps nothing', async () => {
  await closePage();
  await openPage(null);
  workOn(0.31);
  const left = sampleNow();
  await table.takeReady('signal-gamp');
  await table.takeReady('mooring-ring');
  expect(sampleNow()).toEqual(left);
});
