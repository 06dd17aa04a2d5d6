import './styles/all.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { demand } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { startAutosave } from '#io/autosave/autosave.ts';
import { type AutosaveDb, openAutosaveDb } from '#io/autosave/autosaveDb.ts';
import { askToKeep } from '#io/autosave/keep.ts';
import { restoreLatest } from '#io/autosave/restore.ts';
import { acceptDroppedFiles } from '#io/openFile.ts';
import { readSamplePreset } from '#io/presets.ts';
import { checkClient } from '#workers/checkClient.ts';
import { ForecastClient } from '#workers/forecastClient.ts';
import { App } from './App.tsx';
import { createAutomation } from './automation.ts';
import { createTable } from './model/createTable.ts';
import { Fenced } from './table/Fenced.tsx';

/** What lies on the table on a first visit. */
const firstSampleId = 'mooring-ring';

/** After the first cloth has settled, so that its picture is drawn first. */
const CHECKS_START_MS = 3000;

/** Brings back what was last worked on, starts the forecasts and shows the table. */
export async function openTable(): Promise<void> {
  const place = document.getElementById('table');
  if (!place) throw new Error('The page has no element "table" to be laid in.');
  const db = await openStorage();
  const restored = db ? await restoreLatest(db) : null;
  const samples = createSampleStore(restored?.sample ?? (await firstSample()));
  const autosave = await startAutosave(samples, db, restored ?? undefined);
  const table = createTable({ samples, autosave, client: new ForecastClient() });
  table.forecast.follow();
  acceptDroppedFiles(window, (file) => void table.readFile(file));
  if (restored?.fellBackBecause) {
    table.ui
      .getState()
      .say(`The last save could not be read, so an earlier one is on the table. ${restored.fellBackBecause.message}`, {
        goesWith: [],
        stays: true,
      });
  } else if (autosave.state.getState().takenOver) {
    table.ui.getState().say('This sample was open in another tab; it is saved from here now.');
  }
  const stopWaiting = samples.state.subscribe(() => {
    stopWaiting();
    void askToKeep();
  });
  const stopLooking = table.forecast.state.subscribe(({ status }) => {
    if (status !== 'settled') return;
    stopLooking();
    // Once nothing else is to do: the checks are compiled by the time that their panel is opened.
    setTimeout(checkClient, CHECKS_START_MS);
  });
  window.forecloth = createAutomation(table);
  createRoot(place).render(
    <StrictMode>
      <Fenced name="table">
        <App table={table} />
      </Fenced>
    </StrictMode>,
  );
}

/** Null where the browser keeps nothing for this page; the table then says so with the first change. */
async function openStorage(): Promise<AutosaveDb | null> {
  try {
    return await openAutosaveDb();
  } catch {
    return null;
  }
}

async function firstSample(): Promise<Sample> {
  return demand(await readSamplePreset(firstSampleId));
}
