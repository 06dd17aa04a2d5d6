import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { ribbonPx } from '#app/model/ribbonScale.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import { renameSample } from '#document/commands/sampleCommands.ts';
import { setWarpFixed } from '#document/commands/warpCommands.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;

const sampleNow = () => laid.table.samples.state.getState().sample;
const wefts = () => sampleNow().picks.map((pick) => pick.passes[0].strands.join('+'));
const steps = () => laid.table.samples.historySize().steps;
const lengthMm = () => laid.automation.forecast!.readings.lengthMm.value;

function byRole(role: string, name: string | RegExp): HTMLElement {
  return page.getByRole(role, { name, exact: typeof name === 'string' }).element() as HTMLElement;
}

beforeEach(async () => {
  localStorage.clear();
  await page.viewport(900, 620);
  laid = await layTable(smallSample());
  await until('the forecast is settled', () => laid.table.forecast.state.getState().status === 'settled');
  await until('the shelf is there', () => document.querySelector('[aria-label="Yarns in this sample"]') !== null);
});

afterEach(() => laid.clear());

describe('the table by keyboard alone', () => {
  it('picks are selected in their ribbon and woven with a yarn by Enter, as one undo step', async () => {
    const before = wefts();
    byRole('listbox', /Picks/).focus();
    await userEvent.keyboard('{Home}{ArrowUp}{Shift>}{ArrowUp}{ArrowUp}{/Shift}');
    expect(laid.table.ui.getState().selection).toEqual({ kind: 'picks', range: { from: 1, to: 3 } });
    byRole('row', /tar/).focus();
    await userEvent.keyboard('{Enter}');
    expect(wefts().slice(0, 5)).toEqual([before[0], 'tar', 'tar', 'tar', before[4]]);
    expect(steps()).toBe(1);
    await userEvent.keyboard('{Control>}z{/Control}');
    expect(wefts()).toEqual(before);
  });

  it('the beat moves with the arrows, presses in a row as one undo step', async () => {
    byRole('slider', /Beat/).focus();
    await userEvent.keyboard('{ArrowUp}{ArrowLeft}{ArrowLeft}');
    expect(sampleNow().picks[1].beat).toBeCloseTo(0.66, 9);
    expect(sampleNow().picks[0].beat).toBeUndefined();
    await until('the presses are one step', () => steps() === 1);
    const field = byRole('spinbutton', /Beat, pick 2/);
    await userEvent.fill(field, '45');
    await userEvent.keyboard('{Enter}');
    expect(sampleNow().picks[1].beat).toBe(0.45);
    await userEvent.fill(byRole('spinbutton', /Beat, pick 2/), '145');
    await userEvent.keyboard('{Enter}');
    expect(sampleNow().picks[1].beat).toBe(0.45);
    await until('the refusal says why', () =>
      document.querySelector('.notice')!.textContent!.includes('between 0 and 100 %'),
    );
    expect((byRole('spinbutton', /Beat, pick 2/) as HTMLInputElement).value).toBe('45');
  });

  it('a warp that is not fixed takes a yarn on its ends', async () => {
    byRole('listbox', /Ends/).focus();
    await userEvent.keyboard('{Home}{Shift>}{ArrowRight}{/Shift}');
    byRole('row', /rope/).focus();
    await userEvent.keyboard('{Enter}');
    const { problem, namesOf } = laid.table.forecast.state.getState().cloth!;
    await until('the ends are of rope', () => {
      const cloth = laid.table.forecast.state.getState().cloth!;
      return cloth.namesOf[cloth.problem.endYarn[1]] === 'rope';
    });
    expect(namesOf[problem.endYarn[2]]).toBe('gull');
  });

  it('a warp fixed on its loom promises nothing and keeps its ends', async () => {
    laid.table.samples.dispatch(setWarpFixed(true));
    const before = sampleNow();
    byRole('listbox', /Ends/).focus();
    await userEvent.keyboard('{Home}{Shift>}{ArrowRight}{/Shift}');
    const words = 'The warp is on the loom: its ends stay as they are.';
    await until('the hint says so', () => document.querySelector('.hint')!.textContent === words);
    byRole('row', /rope/).focus();
    await userEvent.keyboard('{Enter}');
    await until('the refusal says so', () => document.querySelector('.notice')!.textContent === words);
    expect(sampleNow()).toBe(before);
  });

  it('the cloth is tilted, brought nearer and shown whole', async () => {
    const panel = byRole('application', /cloth/);
    panel.focus();
    const start = laid.table.ui.getState().pose;
    await userEvent.keyboard('{ArrowRight}+');
    const moved = laid.table.ui.getState().pose;
    expect(moved.yawRad).not.toBe(start.yawRad);
    expect(moved.mmPerPx).toBeLessThan(start.mmPerPx);
    await userEvent.keyboard('1');
    const square = laid.table.ui.getState().pose;
    expect(square.yawRad).toBe(0);
    expect(square.mmPerPx).toBeCloseTo(start.mmPerPx, 6);
  });
});

describe('keys', () => {
  it('T turns over; not while typing, and not when single keys are switched off', async () => {
    const side = () => document.querySelector('.side-word')!.textContent;
    await userEvent.keyboard('t');
    await until('the back is up', () => side() === 'Back' && !laid.table.ui.getState().moving);
    const { pose, size } = laid.table.ui.getState();
    const { endXMm } = laid.automation.forecast!.geometry;
    // End 1 is now on the right, as in the hand.
    expect(ribbonPx(endXMm[0], 'ends', pose, size)).toBeGreaterThan(ribbonPx(endXMm[23], 'ends', pose, size));

    byRole('button', 'Change kelp').click();
    await until('the details are there', () => document.querySelector('.yarn-details input[type=text]') !== null);
    document.querySelector<HTMLElement>('.yarn-details input[type=text]')!.focus();
    await userEvent.keyboard('t');
    expect(laid.table.ui.getState().pose.yawRad).toBe(pose.yawRad);

    laid.table.ui.getState().prefer({ keysOn: false });
    byRole('application', /cloth/).focus();
    await userEvent.keyboard('t');
    expect(laid.table.ui.getState().pose.yawRad).toBe(pose.yawRad);
  });

  it('? lists every key, and the list closes with Escape', async () => {
    byRole('application', /cloth/).focus();
    await userEvent.keyboard('?');
    const dialog = document.querySelector('dialog')!;
    expect(dialog.open).toBe(true);
    expect(dialog.textContent).toContain('Turn over');
    await userEvent.keyboard('{Escape}');
    expect(dialog.open).toBe(false);
  });
});

describe('the hand', () => {
  it('one drag of the beat is one undo, and the cloth grows longer with a looser beat', async () => {
    const before = lengthMm();
    byRole('listbox', /Picks/).focus();
    await userEvent.keyboard('{Control>}a{/Control}');
    const trace = byRole('slider', /Beat/);
    const box = trace.getBoundingClientRect();
    await userEvent.dragAndDrop(trace, trace, {
      sourcePosition: { x: box.width * 0.7, y: box.height / 2 },
      targetPosition: { x: box.width * 0.25, y: box.height / 2 },
      steps: 20,
    });
    expect(steps()).toBe(1);
    await laid.table.forecast.settled();
    expect(lengthMm()).toBeGreaterThan(before * 1.1);
    laid.table.samples.undo();
    await laid.table.forecast.settled();
    expect(lengthMm()).toBeCloseTo(before, 6);
  });

  it('a drag of the beat with nothing selected tells which picks it has hold of, and afterwards which it was drawn on', async () => {
    const trace = byRole('slider', /Beat/);
    const { left, top, width, height } = trace.getBoundingClientRect();
    const send = (type: string, share: number) =>
      trace.dispatchEvent(
        new PointerEvent(type, {
          bubbles: true,
          pointerId: 1,
          button: 0,
          clientX: left + width * share,
          clientY: top + height / 2,
        }),
      );
    trace.setPointerCapture = () => {};
    const told = () => document.querySelector('.beat-word')?.textContent ?? '';
    send('pointerdown', 0.7);
    send('pointermove', 0.3);
    await until('it tells what it holds', () => /^\d+ picks?, \d+(–\d+)?: \d+ %$/.test(told()));
    const own = () =>
      sampleNow().picks.flatMap(({ beat }, pick) => (beat === undefined || pick === 7 ? [] : [pick + 1]));
    const drawn = own();
    expect(drawn.length).toBeGreaterThan(0);
    expect(drawn.length).toBeLessThan(sampleNow().picks.length);
    send('pointerup', 0.3);
    const words = drawn.length === 1 ? `pick ${drawn[0]} alone` : `picks ${drawn[0]}–${drawn[drawn.length - 1]} alone`;
    await until('it says what was drawn on', () => document.querySelector('.notice')!.textContent!.includes(words));
    await until('the word is gone', () => told() === '');
    expect(steps()).toBe(1);
  });

  it('a press beats the whole cloth firmer, and the message of it goes once it is undone', async () => {
    byRole('button', 'Beat the whole cloth firmer').click();
    const notice = () => document.querySelector('.notice')!.textContent!;
    await until('it is said', () => notice().startsWith('The whole cloth is beaten'));
    expect(steps()).toBe(1);
    expect(sampleNow().picks[7].beat).toBeCloseTo(0.45, 9);
    await userEvent.keyboard('{Control>}z{/Control}');
    await until('it is true no longer', () => notice() === '');
  });

  it('a yarn dropped on a pick weaves that pick', async () => {
    const before = wefts();
    const { pose, size } = laid.table.ui.getState();
    const { rowYMm } = laid.automation.forecast!.geometry;
    const yPx = ribbonPx(rowYMm[2], 'picks', pose, size);
    await userEvent.dragAndDrop(byRole('row', /tar/), byRole('listbox', /Picks/), {
      targetPosition: { x: 50, y: yPx },
    });
    await until('a pick has changed', () => steps() === 1);
    expect(wefts()).toEqual(before.map((yarn, pick) => (pick === 2 ? 'tar' : yarn)));
  });

  it('a thicker count and another colour reach the cloth', async () => {
    byRole('button', 'Change kelp').click();
    await until('the details are there', () => document.querySelector('.yarn-details') !== null);
    const before = lengthMm();
    const label = byRole('textbox', /as a label says it/);
    await userEvent.fill(label, 'Ne 3/2');
    await userEvent.keyboard('{Enter}');
    // 590.5 / Ne is common practice; 3/2 is two plies of 3s.
    expect(sampleNow().yarns.kelp.tex).toBeCloseTo((590.5 / 3) * 2, 0);
    await laid.table.forecast.settled();
    expect(lengthMm()).toBeGreaterThan(before);
    await userEvent.fill(byRole('textbox', /Colour/), '#aa3322');
    await userEvent.keyboard('{Enter}');
    expect(sampleNow().yarns.kelp.coneColour).toBe('#aa3322');
    await userEvent.fill(byRole('textbox', /Colour/), 'nocolour');
    await userEvent.keyboard('{Enter}');
    expect(sampleNow().yarns.kelp.coneColour).toBe('#aa3322');
    await until('the reason is told', () =>
      document.querySelector('.yarn-details')!.textContent!.includes('"nocolour" is not a colour'),
    );
    await userEvent.fill(byRole('textbox', /Colour/), 'A0B');
    await userEvent.keyboard('{Enter}');
    expect(sampleNow().yarns.kelp.coneColour).toBe('#aa00bb');
    expect(document.querySelector('.yarn-details')!.textContent).not.toContain('is not a colour');
  });
});

describe('fit for every hand and eye', () => {
  it('every control has a name and is at least 24 px a side (WCAG 2.2, 2.5.8)', () => {
    const controls = [...document.querySelectorAll<HTMLElement>('.table button, .table select, .table summary')].filter(
      (control) => control.closest('[style*="clip"]') === null && control.getClientRects().length > 0,
    );
    expect(controls.length).toBeGreaterThan(15);
    for (const control of controls) {
      const { width, height } = control.getBoundingClientRect();
      const name = control.getAttribute('aria-label') ?? control.textContent ?? '';
      const labelled = name.trim() !== '' || control.closest('label') !== null;
      expect(labelled, control.outerHTML).toBe(true);
      expect(Math.min(width, height), control.outerHTML).toBeGreaterThanOrEqual(24);
    }
  });

  it('kept versions and long messages are whole to read and leave the cloth its place', async () => {
    await page.viewport(1280, 720);
    await until('the page is laid anew', () => laid.table.ui.getState().size.widthPx > 600);
    const box = () => document.querySelector('.cloth-panel')!.getBoundingClientRect();
    const { width, height } = box();
    for (let i = 0; i < 8; i++) {
      laid.table.samples.dispatch(setBeat({ firmness: 0.5 + i / 50 }));
      laid.table.keepVersion();
    }
    laid.table.ui.getState().say('The breakwater is long. '.repeat(12));
    const last = sampleNow().versions.at(-1)!.name;
    await until('all is shown', () => document.querySelector('.versions-kept')!.textContent!.endsWith(last), 9000);
    expect([box().width, box().height]).toEqual([width, height]);
    const notice = document.querySelector('.notice')!;
    expect(notice.getBoundingClientRect().height).toBeGreaterThan(40);
    expect(notice.scrollHeight).toBeLessThanOrEqual(notice.clientHeight);
    expect(notice.scrollWidth).toBeLessThanOrEqual(notice.clientWidth);
    // The one kept last is brought into view.
    const kept = document.querySelector('.versions-kept')!.getBoundingClientRect();
    expect(byRole('button', last).getBoundingClientRect().right).toBeLessThanOrEqual(kept.right + 1);
    expect(byRole('button', 'Keep this').getBoundingClientRect().right).toBeLessThanOrEqual(1280);
  });

  it('1280 px wide, the loom, the tools of a ready sample and the reader stand in one row', async () => {
    await page.viewport(1280, 720);
    // A ready sample has one button more.
    const ready = laid.table.ready[0].name;
    laid.table.samples.dispatch(renameSample(ready));
    await until('it is known', () => page.getByRole('button', { name: 'As it came' }).query() !== null, 9000);
    const rows = [...document.querySelectorAll('.bottom-row')];
    const parts = [...rows[rows.length - 1].children].map((part) => part.getBoundingClientRect());
    expect(parts.length).toBe(3);
    const lowestTop = Math.max(...parts.map(({ top }) => top));
    const highestBottom = Math.min(...parts.map(({ bottom }) => bottom));
    expect(lowestTop).toBeLessThan(highestBottom);
    laid.table.samples.undo();
  });

  it('discarding offers nothing else, and Escape leaves it with the selection as it was', async () => {
    laid.table.keepVersion();
    laid.table.ui.getState().select({ kind: 'picks', range: { from: 1, to: 3 } });
    const { versions } = sampleNow();
    const words = () => document.querySelector('.versions-kept')!.textContent!;
    const { name } = versions.at(-1)!;
    await until('it is kept', () => words().endsWith(name), 9000);
    byRole('button', 'Discard…').click();
    await until('it asks which', () => words().endsWith(`Discard ${name}`), 9000);
    expect(page.getByRole('button', { name: 'Keep this' }).query()).toBeNull();
    await userEvent.keyboard('{Escape}');
    await until('it is left', () => !words().includes('Discard'), 9000);
    expect(page.getByRole('button', { name: 'Keep this' }).query()).not.toBeNull();
    expect(laid.table.ui.getState().selection).toBeDefined();
    expect(sampleNow().versions).toBe(versions);
  });

  it('on a narrow screen nothing runs off to the side', async () => {
    await page.viewport(360, 740);
    await until('the page is laid anew', () => laid.table.ui.getState().size.widthPx < 300);
    expect(document.documentElement.scrollWidth).toBeLessThanOrEqual(360);
  });
});
