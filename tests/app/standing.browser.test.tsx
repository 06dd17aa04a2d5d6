import { afterAll, beforeAll, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;
const status = () => laid.table.forecast.state.getState().status;
const text = (selector: string) => document.querySelector(selector)?.textContent ?? '';

beforeAll(async () => {
  localStorage.clear();
  await page.viewport(900, 620);
  laid = await layTable(smallSample());
  await until('the forecast is settled', () => status() === 'settled');
});

afterAll(() => laid.clear());

it('tells off the loom what holds, the outline there, and curl only when asked', async () => {
  expect(text('.standing')).not.toMatch(/Curl/);
  await until('the outline is drawn', () => document.querySelector('.outline path.shown') !== null);
  laid.table.ui.getState().showState('offLoom');
  await until('the state is forecast', () => text('.standing').includes('Curl'));
  await until('it has settled', () => status() === 'settled' && text('.outline').includes('Off the loom'));
  expect(document.querySelectorAll('.outline path')).toHaveLength(3);
  expect(text('.standing')).toMatch(/holds within 1 cm|Pick \d+/);
  expect(text('.standing')).not.toMatch(/Lies flat|May roll/);
  await userEvent.click(page.getByRole('button', { name: 'Curl', exact: true }));
  expect(text('.standing')).toMatch(/Lies flat|May roll/);
});
