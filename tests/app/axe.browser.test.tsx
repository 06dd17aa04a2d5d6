import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { page } from 'vitest/browser';
import { showKept } from '#app/model/beside.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';
import { violations } from './violations.ts';

let laid: LaidTable;
const ui = () => laid.table.ui.getState();
const there = (selector: string) => until(`there is ${selector}`, () => document.querySelector(selector) !== null);

/** Every state of the page. */
const states: readonly { readonly name: string; readonly open: () => Promise<void> }[] = [
  { name: 'the table as it is first seen', open: async () => {} },
  {
    name: 'picks selected, their menu open',
    async open() {
      ui().select({ kind: 'picks', range: { from: 2, to: 4 } });
      ui().showPickMenu('button');
      await there('[role=menuitem]');
    },
  },
  {
    name: 'the lift of picks',
    async open() {
      ui().select({ kind: 'picks', range: { from: 0, to: 1 } });
      ui().showLift(true);
      await there('.lift-set button');
    },
  },
  {
    name: 'the draft drawer open',
    async open() {
      ui().toggleDrawer();
      await there('.draft-scroller');
    },
  },
  {
    name: 'what is done after the loom',
    async open() {
      ui().toggleAfter();
      await there('.after-add button');
      for (const button of document.querySelectorAll<HTMLElement>('.after-add button')) button.click();
      await there('.treatments > li:nth-child(5)');
    },
  },
  {
    name: 'the keys',
    async open() {
      ui().showKeys(true);
      await there('.keys-dialog[open]');
    },
  },
  {
    name: 'a picture being asked for',
    async open() {
      ui().showPicture(true);
      await there('.picture-dialog[open]');
    },
  },
  {
    name: 'the weaving plan',
    async open() {
      const buttons = [...document.querySelectorAll<HTMLElement>('.draft-row button')];
      buttons.find(({ textContent }) => textContent === 'Plan…')!.click();
      await there('.weaving-plan[open] .plan-picks');
    },
  },
  {
    name: 'the map of grin-through',
    async open() {
      await there('.grin-map');
    },
  },
  {
    name: 'a yarn being changed, its colour picked by eye, the stock open',
    async open() {
      ui().chooseYarn('kelp');
      await there('.yarn-details');
      const button = [...document.querySelectorAll<HTMLElement>('.yarn-details button')];
      button.find(({ textContent }) => textContent === 'Pick the colour')!.click();
      document.querySelector<HTMLElement>('.stock summary')!.click();
      await there('.colour-area');
      await there('[aria-label="Yarns in stock"] [role=row]');
    },
  },
  {
    name: 'versions being named, with a message',
    async open() {
      laid.table.keepVersion();
      ui().say('A message.');
      await until('both are there', () => document.querySelectorAll('.versions-kept button').length === 2);
      const buttons = [...document.querySelectorAll<HTMLElement>('.versions button')];
      buttons.find(({ textContent }) => textContent === 'Name…')!.click();
      await there('.version-name');
    },
  },
  {
    name: 'a cloth split in two and held at a distance by lightness alone, under a lens and a turning light',
    async open() {
      ui().show('split');
      ui().holdAt(2000);
      ui().showLightness(true);
      ui().holdLens({ xPx: 60, yPx: 60 });
      ui().prefer({ light: 'turning' });
      await there('.split-edge');
      await there('.lens');
      await until('the light can be turned', () => document.body.textContent!.includes('Turn the light'));
    },
  },
  {
    name: 'versions beside the sample',
    async open() {
      showKept(laid.table.ui, laid.table.samples.state.getState().sample);
      await there('.kept-table tbody');
      await there('.pane-word select');
    },
  },
  {
    name: 'a raking lamp, a place marked on the cloth, and the beat under the hand',
    async open() {
      ui().prefer({ light: 'raking' });
      ui().mark({ minXMm: 2, maxXMm: 6, minYMm: 2, maxYMm: 6 });
      ui().holdBeat({ range: { from: 2, to: 4 }, firmness: 0.5, yPx: 40 });
      await there('.marked-place');
      await there('.beat-word');
    },
  },
  {
    name: 'a picture being drawn to be saved, with trouble told beside it',
    async open() {
      // The state that the page is in meanwhile, without the wait for the drawing.
      laid.table.pictures.state.setState({ drawing: { fileName: 'quay-edge.png', share: 0.4 } });
      ui().say('The file was not opened. '.repeat(40), { stays: true });
      await until('the message is long', () => document.querySelector('.notice')!.scrollHeight > 200);
      await there('progress');
    },
  },
  {
    name: 'figures under way',
    async open() {
      laid.table.samples.begin('beat');
      laid.table.samples.dispatch(setBeat({ firmness: 0.3 }));
      await there('.readings .stale');
    },
  },
];

/** The scheme as the style sheets follow it: `color-scheme` on the root decides `light-dark()`. */
function inScheme(scheme: 'light' | 'dark'): void {
  document.documentElement.style.colorScheme = scheme;
}

describe.each(['light', 'dark'] as const)('in the %s scheme', (scheme) => {
  beforeAll(() => {
    // The page's own head and language are in index.html, which tests do not load.
    document.documentElement.lang = 'en-GB';
  });

  beforeEach(async () => {
    localStorage.clear();
    inScheme(scheme);
    await page.viewport(1000, 640);
    laid = await layTable(smallSample());
    await until('the forecast is settled', () => laid.table.forecast.state.getState().status === 'settled');
    await there('[aria-label="Yarns in this sample"] [role=row]');
  });

  afterEach(async () => {
    await laid.clear();
    document.documentElement.style.colorScheme = '';
  });

  it.each(states)('$name', async ({ open }) => {
    await open();
    expect(await violations()).toEqual([]);
  });
});

describe('on a phone', () => {
  it('the table, its draft open and a message over the cloth', async () => {
    await page.viewport(360, 740);
    laid = await layTable(smallSample());
    await until('the forecast is settled', () => laid.table.forecast.state.getState().status === 'settled');
    await there('[aria-label="Yarns in this sample"] [role=row]');
    ui().toggleDrawer();
    ui().say('A message.');
    await there('.draft-scroller');
    expect(await violations()).toEqual([]);
    await laid.clear();
  });
});

describe('the check itself', () => {
  it('finds what is wrong', async () => {
    const place = document.createElement('div');
    place.innerHTML = '<button></button><p style="color:#aaa;background:#fff">pale</p>';
    document.body.append(place);
    const found = await violations();
    place.remove();
    expect(found.some((line) => line.startsWith('button-name'))).toBe(true);
    expect(found.some((line) => line.startsWith('color-contrast'))).toBe(true);
  });
});
