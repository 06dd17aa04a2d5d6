import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from '#app/App.tsx';
import { type Automation, createAutomation } from '#app/automation.ts';
import { createTable } from '#app/model/createTable.ts';
import type { TableModel } from '#app/model/tableModel.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { startAutosave } from '#io/autosave/autosave.ts';
import { ForecastClient } from '#workers/forecastClient.ts';
import '#app/styles/all.css';

export interface LaidTable {
  readonly table: TableModel;
  readonly automation: Automation;
  /** Takes the page away again. */
  clear(): Promise<void>;
}

/**
 * The whole page with a real worker, as the program lays it, but keeping nothing in the browser's storage. Its cloth settles after
 * one full sample: the rest, drawn in software, would take both cores from what is asked of the page.
 */
export async function layTable(sample: Sample): Promise<LaidTable> {
  const { search } = window.location;
  window.history.replaceState(null, '', '?samples=1');
  const samples = createSampleStore(sample);
  const client = new ForecastClient();
  const autosave = await startAutosave(samples, null);
  const table = createTable({ samples, autosave, client });
  const stop = table.forecast.follow();
  const automation = createAutomation(table);
  const place = document.createElement('div');
  document.body.append(place);
  const root = createRoot(place);
  root.render(
    <StrictMode>
      <App table={table} />
    </StrictMode>,
  );
  return {
    table,
    automation,
    async clear() {
      stop();
      client.dispose();
      root.unmount();
      place.remove();
      window.history.replaceState(null, '', search || window.location.pathname);
      await autosave.stop();
    },
  };
}

/** Resolves when the condition holds; fails with what was waited for otherwise. */
export async function until(what: string, holds: () => boolean, mostMs = 60_000): Promise<void> {
  const began = performance.now();
  while (!holds()) {
    if (performance.now() - began > mostMs) throw new Error(`Waited ${mostMs / 1000} s in vain until ${what}.`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** As a browser without WebGL 2: the cloth is drawn flat, which takes no time. Returns what gives it back. */
export function withoutWebGl2(): () => void {
  const original = HTMLCanvasElement.prototype.getContext;
  HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, kind: string, ...rest: unknown[]) {
    if (kind === 'webgl2') return null;
    return (original as (...all: unknown[]) => RenderingContext | null).call(this, kind, ...rest);
  } as typeof original;
  return () => {
    HTMLCanvasElement.prototype.getContext = original;
  };
}
