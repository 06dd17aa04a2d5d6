import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { ribbonPx } from '#app/model/ribbonScale.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;

const sampleNow = () => laid.table.samples.state.getState().sample;
const undoName = () => laid.table.samples.state.getState().undoName;
const lifts = () => sampleNow().picks.map((pick) => pick.lift.join(' '));
const notice = () => document.querySelector('.notice')!.textContent!;
const selected = () => laid.table.ui.getState().selection?.range;

function element(role: string, name: string | RegExp): HTMLElement {
  return page.getByRole(role, { name, exact: typeof name === 'string' }).element() as HTMLElement;
}

async function lay(sample: Sample): Promise<void> {
  laid = await layTable(sample);
  await until('the picks are there', () => document.querySelector('.ribbon-picks') !== null);
}

function select(from: number, to: number): void {
  laid.table.ui.getState().select({ kind: 'picks', range: { from: from - 1, to: to - 1 } });
  laid.table.ui.getState().setCursor('picks', to - 1);
}

beforeEach(async () => {
  localStorage.clear();
  await page.viewport(900, 620);
});

afterEach(() => laid.clear());

describe('picks by keys', () => {
  beforeEach(() => lay(smallSample()));

  it('go on in their order, take the same lift, are woven again and unwoven, one named undo step each', async () => {
    const start = lifts();
    select(3, 3);
    element('listbox', /Picks/).focus();
    await userEvent.keyboard('n');
    expect(lifts()).toEqual([...start.slice(0, 3), start[1], ...start.slice(3)]);
    expect(undoName()).toBe('insert pick 4 as the order goes on');
    expect(selected()).toEqual({ from: 3, to: 3 });
    await userEvent.keyboard('s');
    expect(lifts()[4]).toBe(lifts()[3]);
    expect(undoName()).toBe('insert pick 5 with the same lift');
    select(1, 3);
    await userEvent.keyboard('{Control>}d{/Control}');
    expect(lifts().slice(3, 6)).toEqual(lifts().slice(0, 3));
    expect(undoName()).toBe('repeat picks 1–3 at pick 4');
    expect(selected()).toEqual({ from: 3, to: 5 });
    await userEvent.keyboard('{Delete}');
    expect(undoName()).toBe('unweave picks 4–6');
    await until('the message says what was done', () => notice().startsWith('Picks 4–6 unwoven'));
    for (let i = 0; i < 4; i++) laid.table.samples.undo();
    expect(sampleNow()).toEqual(smallSample());
  });

  it('the last pick cannot go, and the reason is told', async () => {
    element('listbox', /Picks/).focus();
    await userEvent.keyboard('{Control>}a{/Control}{Delete}');
    await until('the reason is told', () => /keep at least one/i.test(notice()));
    expect(sampleNow().picks).toHaveLength(12);
  });

  it('the lift is changed shaft by shaft, going from pick to pick', async () => {
    select(2, 2);
    element('listbox', /Picks/).focus();
    await userEvent.keyboard('l');
    await until('the lift is open', () => document.activeElement?.getAttribute('aria-label') === 'Shaft 1');
    await userEvent.keyboard('{Enter}{ArrowRight}{Enter}');
    expect(sampleNow().picks[1].lift).toEqual([1, 4, 6, 8]);
    expect(undoName()).toBe('lower shaft 2 on pick 2');
    await userEvent.keyboard('{ArrowUp}{Enter}');
    expect(sampleNow().picks[2].lift).toEqual([1, 2, 3, 5, 7]);
    await userEvent.keyboard('{Escape}');
    await until('it has closed', () => document.querySelector('.lift-panel') === null);
    expect(document.activeElement?.className).toContain('ribbon-picks');
  });
});

describe('picks by mouse and touch', () => {
  it('the menu above the picks offers all of it', async () => {
    await lay(smallSample());
    const start = lifts();
    select(4, 5);
    element('button', /^Picks/).click();
    await until('the menu is open', () => document.querySelector('[role=menu]') !== null);
    const items = [...document.querySelectorAll('[role=menuitem]')].map((item) => item.textContent);
    expect(items.join('|')).toMatch(/next pick.*same lift.*Weave picks 4–5 again.*Change the lift.*Unweave picks 4–5/);
    element('menuitem', /Unweave/).click();
    await until('they are unwoven', () => sampleNow().picks.length === 10);
    expect(lifts()).toEqual([...start.slice(0, 3), ...start.slice(5)]);
  });

  it('a long press on a pick opens it there, for that pick', async () => {
    await lay(smallSample());
    await until('there is a forecast', () => laid.automation.forecast !== undefined);
    const ribbon = element('listbox', /Picks/);
    const box = ribbon.getBoundingClientRect();
    const { pose, size } = laid.table.ui.getState();
    const yPx = ribbonPx(laid.automation.forecast!.geometry.rowYMm[2], 'picks', pose, size);
    // What a long press on a touch screen and the second button of a mouse both send.
    ribbon.dispatchEvent(
      new MouseEvent('contextmenu', {
        bubbles: true,
        cancelable: true,
        clientX: box.left + 50,
        clientY: box.top + yPx,
      }),
    );
    await until('the menu is open', () => document.querySelector('[role=menu]') !== null);
    expect(element('menu', 'What to do with pick 3')).toBeDefined();
    await userEvent.keyboard('{Escape}');
    await until('it has closed', () => document.querySelector('[role=menu]') === null);
  });

  it('on a treadle loom the treadles are chosen, and what they raise is told', async () => {
    const base = smallSample();
    await lay({
      ...base,
      loom: { ...base.loom, control: { kind: 'treadles', treadles: 4, action: 'rising' } },
      warp: {
        ...base.warp,
        tieUp: [
          [1, 3, 5, 7],
          [2, 4, 6, 8],
          [1, 2],
        ],
      },
      picks: base.picks.map((pick, i) => ({ ...pick, lift: [1 + (i % 2)] })),
    });
    select(1, 2);
    laid.table.ui.getState().showLift(true);
    await until('the treadles are there', () => document.querySelectorAll('.lift-set button').length === 3);
    expect(element('button', 'Treadle 1').getAttribute('aria-pressed')).toBe('mixed');
    element('button', 'Treadle 3').click();
    await until('it is pressed', () => element('button', 'Treadle 3').getAttribute('aria-pressed') === 'true');
    expect(undoName()).toBe('press treadle 3 on picks 1–2');
    select(1, 1);
    await until('the shafts are told', () =>
      /raises shafts 1 2 3 5 7/.test(element('region', /Treadles/).textContent!),
    );
  });
});
