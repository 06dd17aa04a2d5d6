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

it('speaks of the cloth before a failure only where it is another than the one asked for, and is still drawn', async () => {
  const { forecast, ui } = laid.table;
  const trouble = { where: 'heights', why: 'the kelp does not settle.' };
  const before = 'Shown meanwhile: the cloth before.';
  const { resultOf } = forecast.state.getState();
  forecast.state.setState({ status: 'failed', trouble, asked: resultOf });
  await until('the trouble is told', () => said().includes('the kelp does not settle'));
  expect(said()).not.toContain(before);
  forecast.state.setState({ asked: { ...resultOf! } });
  await until('it is another cloth', () => said().includes(before));
  ui.getState().setPicture('lost');
  await until('nothing is shown', () => !said().includes(before));
});

it('stops and goes on at one place, which keeps the focus', async () => {
  const { forecast } = laid.table;
  const stage = { stage: 'heights', share: 0.3 } as const;
  const stop = () => forecast.state.setState({ status: 'stopped', progress: undefined });
  // Work that lasts as long as it is looked at.
  Object.assign(forecast, { stop, goOn: () => forecast.state.setState({ status: 'working', progress: stage }) });
  stop();
  const button = () => document.querySelector<HTMLElement>('.work-word button');
  await until('it may go on', () => button()?.textContent === 'Go on');
  const first = button()!;
  first.focus();
  first.click();
  await until('it works', () => said().includes('bending the yarns'));
  expect([button(), button()?.textContent, document.activeElement]).toEqual([first, 'Stop', first]);
  first.click();
  await until('it has stopped', () => first.textContent === 'Go on');
  expect([button(), document.activeElement]).toEqual([first, first]);
});
