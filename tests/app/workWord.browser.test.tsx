import { afterEach, beforeEach, expect, it } from 'vitest';
import { page } from 'vitest/browser';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until, withoutWebGl2 } from './layTable.tsx';

let laid: LaidTable;
let giveBack: () => void;
const said = () => document.querySelector('.work-word')?.textContent ?? '';
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

beforeEach(async () => {
  localStorage.clear();
  await page.viewport(1280, 800);
  giveBack = withoutWebGl2();
  laid = await layTable(smallSample());
  await laid.table.forecast.settled();
  await until('nothing is worked out', () => document.querySelector('.work-word') !== null && said() === '');
});

afterEach(async () => {
  await laid.clear();
  giveBack();
});

it('speaks of the cloth before once it has stood for a second, not where it comes and goes', async () => {
  const { ui } = laid.table;
  ui.getState().setPicture('drawing');
  const heard = new Set<string>();
  for (let k = 0; k < 8; k++) {
    ui.getState().setEarlier(true);
    await pause(200);
    heard.add(said());
    ui.getState().setEarlier(false);
    await pause(50);
  }
  expect([...heard]).toEqual(['Drawing']);
  ui.getState().setEarlier(true);
  await until('it is said', () => said() === 'Drawing; shown until then: the cloth before');
  ui.getState().setEarlier(false);
  await until('it is taken back', () => said() === 'Drawing');
});
