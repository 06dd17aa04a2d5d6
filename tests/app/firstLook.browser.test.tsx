import { createRoot } from 'react-dom/client';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page } from 'vitest/browser';
import { noticeMs } from '#app/model/notices.ts';
import { Fenced } from '#app/table/Fenced.tsx';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until, withoutWebGl2 } from './layTable.tsx';

function Failing({ message }: { readonly message: string }): never {
  throw new TypeError(message);
}

describe('the page at first sight', () => {
  let laid: LaidTable;
  let giveBack: () => void;

  beforeEach(async () => {
    localStorage.clear();
    await page.viewport(1280, 800);
    giveBack = withoutWebGl2();
    laid = await layTable(smallSample());
    await until('the shelf is there', () => document.querySelector('[aria-label="Yarns in this sample"]') !== null);
  });

  afterEach(async () => {
    await laid.clear();
    giveBack();
  });

  it.each([
    [1280, 800],
    // A common telephone.
    [390, 844],
  ])('says what it is for, in sight, in a window of %i × %i', async (width, height) => {
    await page.viewport(width, height);
    await until('it is laid so', () => document.querySelectorAll('.purpose').length === 1);
    await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
    const { top, bottom } = document.querySelector('.purpose')!.getBoundingClientRect();
    expect(document.querySelector('.purpose')!.textContent).toMatch(/see the cloth .* before you weave it/);
    expect(top).toBeGreaterThanOrEqual(0);
    expect(bottom).toBeLessThan(window.innerHeight);
  });

  it('lets a message go that came up under a hand at rest', async () => {
    laid.table.ui.getState().say('Woven.');
    await until('it is told', () => document.querySelector('.notice')!.textContent === 'Woven.');
    const box = document.querySelector('.notice-box')!;
    const relatedTarget = document.body;
    box.dispatchEvent(new PointerEvent('pointerover', { bubbles: true, relatedTarget }));
    await until('it is gone', () => document.querySelector('.notice')!.textContent === '', 3 * noticeMs('Woven.'));
  });

  it('names buttons and drawers without their keys and marks', () => {
    for (const name of ['Turn over', 'Picture…']) {
      expect(page.getByRole('button', { name, exact: true }).elements(), name).toHaveLength(1);
    }
    // What is drawn before a drawer's name is spoken as nothing.
    for (const handle of document.querySelectorAll('.draft-handle')) {
      expect(getComputedStyle(handle, '::before').content).toBe('""');
    }
  });

  it.each(['Show', 'Light', 'State'])('names the list %s without its key', (name) => {
    expect(page.getByRole('combobox', { name, exact: true }).elements()).toHaveLength(1);
  });

  it('shows what a swatch says beside the table, at 800 px', async () => {
    document.querySelector<HTMLElement>('[aria-keyshortcuts="H"]')!.click();
    await until('it is open', () => document.querySelector('.own-swatch') !== null);
    const says = document.querySelector('.swatch-says')!.getBoundingClientRect();
    const drawer = document.querySelector('.plan-panel')!.getBoundingClientRect();
    expect(says.right).toBeLessThan(document.querySelector('.own-swatch')!.getBoundingClientRect().left);
    expect(says.top).toBeLessThan(drawer.bottom - 60);
  });
});

describe('a part that fails', () => {
  const place = document.createElement('div');
  const shown = async (message: string) => {
    document.body.append(place);
    const root = createRoot(place, { onCaughtError: () => undefined });
    root.render(
      <Fenced name="lift">
        <Failing message={message} />
      </Fenced>,
    );
    await until('it has failed', () => place.querySelector('.fence') !== null);
    const told = place.textContent;
    root.unmount();
    place.remove();
    return told;
  };

  // The words of Chromium, Firefox and Safari.
  it.each([
    'Failed to fetch dynamically imported module: http://127.0.0.1/a.js',
    'error loading dynamically imported module: http://127.0.0.1/a.js',
    'Importing a module script failed.',
  ])('to be fetched asks to load the page again: %s', async (message) => {
    expect(await shown(message)).toMatch(/lift could not be fetched.*Load the page again$/);
  });

  it('by itself says why and may be tried again', async () => {
    expect(await shown('shaft 9 of 8')).toMatch(/lift stopped: shaft 9 of 8.*Try again$/);
  });
});
