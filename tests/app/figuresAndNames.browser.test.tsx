import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { setBeat } from '#document/commands/beatCommands.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;

const sampleNow = () => laid.table.samples.state.getState().sample;
const undoName = () => laid.table.samples.state.getState().undoName;
const notice = () => document.querySelector('.notice')!.textContent!;
const versionNames = () => sampleNow().versions.map(({ name }) => name);

function element(role: string, name: string | RegExp): HTMLElement {
  return page.getByRole(role, { name, exact: typeof name === 'string' }).element() as HTMLElement;
}

/** A reading as the page shows it: "≈ 2.6". */
function figure(name: string): string {
  const rows = [...document.querySelectorAll('.readings dl > div')];
  return rows.find((row) => row.querySelector('dt')?.textContent === name)!.querySelector('.figure')!.textContent!;
}

const NAMES = [
  'Picks',
  'Ends',
  'Width',
  'Length',
  'Thickness',
  'Weight',
  'Stiff along',
  'Stiff across',
  'Warp take-up',
  'Weft take-up',
];

/** Readings that stand over their range. */
function ranged(): string[] {
  const rows = [...document.querySelectorAll('.readings dl > div')];
  return rows.filter((row) => row.querySelector('.range')).map((row) => row.querySelector('dt')!.textContent!);
}

beforeEach(async () => {
  localStorage.clear();
  await page.viewport(900, 620);
  laid = await layTable(smallSample());
  await until('the forecast is settled', () => laid.table.forecast.state.getState().status === 'settled');
  await until('the figures are there', () => document.querySelector('.readings dl') !== null);
});

afterEach(() => laid.clear());

describe('readings', () => {
  it('are estimates to two places while a gesture previews, and settle with it', async () => {
    await until('they have settled', () => document.querySelector('.readings .stale') === null);
    expect(ranged()).toEqual(NAMES);
    laid.table.samples.begin('beat softer');
    laid.table.samples.dispatch(setBeat({ firmness: 0.3 }));
    await until('a preview is there', () => laid.table.forecast.state.getState().status === 'preview');
    await until('it is shown', () => document.querySelector('.readings .stale') !== null);
    for (const name of NAMES) {
      const shown = figure(name);
      expect(shown, name).toMatch(/^≈ /);
      // Zeros before the first figure and after the last place are no figures of the estimate.
      const places = shown.replace(/\D/g, '').replace(/^0+|0+$/g, '');
      expect(places.length, `${name} ${shown}`).toBeLessThanOrEqual(2);
    }
    expect(document.querySelector('.readings .range')).toBeNull();
    expect(document.querySelector('.readings h2')!.textContent).toContain('estimates');
    laid.table.samples.commit();
    await laid.table.forecast.settled();
    await until('they have settled', () => document.querySelector('.readings .stale') === null);
    expect(ranged()).toEqual(NAMES);
  });
});

describe('kept versions', () => {
  it('are named where they stand, by keys alone, and undo gives the old name back', async () => {
    laid.table.keepVersion();
    await until('it is kept', () => versionNames().length === 2);
    element('button', 'Name…').focus();
    await userEvent.keyboard('{Enter}');
    await until('the names are open', () => document.activeElement?.classList.contains('version-name') === true);
    // The one on the table is the one to be named.
    expect(document.activeElement!.getAttribute('aria-label')).toBe('Name of Version 2');
    await userEvent.keyboard('too tall{Enter}');
    expect(versionNames()).toEqual(['looser', 'too tall']);
    await until('it is shown', () => page.getByRole('button', { name: 'too tall', exact: true }).query() !== null);
    expect(undoName()).toBe('call "Version 2" "too tall"');
    laid.table.samples.undo();
    expect(versionNames()).toEqual(['looser', 'Version 2']);
  });

  it('are marked while the cloth is one of them, after undo too, and not kept twice without a word', async () => {
    const marked = () => document.querySelector('.versions-kept [aria-pressed=true]')?.textContent;
    expect(marked()).toBeUndefined();
    laid.table.keepVersion();
    await until('it is marked', () => marked() === 'Version 2');
    laid.table.keepVersion();
    await until('it is said which it equals', () => notice().includes('Nothing has changed since "Version 2"'));
    expect(versionNames()).toEqual(['looser', 'Version 2']);
    laid.table.samples.dispatch(setBeat({ picks: { from: 2, to: 3 }, firmness: 0.1 }));
    await until('the mark is gone', () => marked() === undefined);
    laid.table.samples.undo();
    await until('it is marked again', () => marked() === 'Version 2');
  });

  it('keep apart by name; Escape takes nothing', async () => {
    laid.table.keepVersion();
    await until('there is something to name', () => versionNames().length === 2);
    element('button', 'Name…').click();
    await until('the names are open', () => document.querySelectorAll('.version-name').length === 2);
    await userEvent.fill(element('textbox', 'Name of Version 2'), 'looser');
    await userEvent.keyboard('{Enter}');
    await until('the reason is told', () => /has a version "looser" already/.test(notice()));
    expect((element('textbox', 'Name of Version 2') as HTMLInputElement).value).toBe('Version 2');
    await userEvent.fill(element('textbox', 'Name of Version 2'), 'half said');
    await userEvent.keyboard('{Escape}');
    await until('the names are shut', () => document.querySelector('.version-name') === null);
    expect(versionNames()).toEqual(['looser', 'Version 2']);
  });

  it('are discarded with a word on how to get them back', async () => {
    element('button', 'Discard…').click();
    await until('it asks which', () => page.getByRole('button', { name: 'Discard looser' }).query() !== null);
    element('button', 'Discard looser').click();
    await until('it is told', () => notice() === '"looser" is discarded. Undo brings it back.');
    expect(versionNames()).toEqual([]);
    laid.table.samples.undo();
    expect(versionNames()).toEqual(['looser']);
  });
});

describe('a yarn on the shelf', () => {
  it('takes a name of her own, which its count leaves alone', async () => {
    // The shelf's scripts come after the cloth's.
    await until('the shelf is there', () => page.getByRole('button', { name: 'Change kelp' }).query() !== null);
    element('button', 'Change kelp').click();
    await until('the details are there', () => document.querySelector('.yarn-details') !== null);
    await userEvent.fill(element('textbox', 'Name'), 'weed 8/2 from the slip');
    await userEvent.keyboard('{Enter}');
    await until('the shelf shows it', () => page.getByRole('row', { name: /from the slip/ }).query() !== null);
    await userEvent.fill(element('textbox', /as a label says it/), 'Ne 3/2');
    await userEvent.keyboard('{Enter}');
    await until('the count is another', () => sampleNow().yarns.kelp.count === 'Ne 3/2');
    expect(sampleNow().yarns.kelp.name).toBe('weed 8/2 from the slip');
  });
});
