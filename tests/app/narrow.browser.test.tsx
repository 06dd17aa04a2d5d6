import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { setBeat } from '#document/commands/beatCommands.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;
const ui = () => laid.table.ui.getState();
const box = (selector: string) => document.querySelector(selector)!.getBoundingClientRect();
const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

beforeEach(async () => {
  localStorage.clear();
  laid = await layTable(smallSample());
  await until('the shelf is there', () => document.querySelector('[aria-label="Yarns in this sample"]') !== null);
});

afterEach(async () => {
  await laid.clear();
  window.scrollTo(0, 0);
});

/** Whether a point of the page shows this element or what is within it. */
function showsAt(x: number, y: number, element: Element): boolean {
  const top = document.elementFromPoint(x, y);
  return top !== null && (element.contains(top) || top.contains(element));
}

describe.each([
  [360, 740],
  [600, 900],
  [800, 600],
])('a window of %i × %i', (width, height) => {
  beforeEach(() => page.viewport(width, height));

  it('keeps the cloth in sight wherever the page is scrolled to', async () => {
    await frame();
    for (const y of [0, 400, document.documentElement.scrollHeight]) {
      window.scrollTo(0, y);
      await frame();
      const { top, bottom } = box('.cloth-panel');
      expect(top).toBeGreaterThanOrEqual(0);
      expect(bottom).toBeLessThanOrEqual(height * 0.6);
    }
    expect(document.documentElement.scrollWidth).toBeLessThanOrEqual(width);
  });

  it('holds every tool within its sides, however many versions are kept', async () => {
    for (let i = 0; i < 5; i++) {
      laid.table.samples.dispatch(setBeat({ firmness: 0.5 + i / 50 }));
      laid.table.keepVersion();
    }
    await until('they are shown', () => document.querySelectorAll('.versions-kept button').length === 6);
    await frame();
    const kept = document.querySelector('.versions-kept')!;
    expect(kept.getBoundingClientRect().right).toBeLessThanOrEqual(width);
    for (const tool of document.querySelectorAll('.bottom-edge button, .bottom-edge select')) {
      if (kept.contains(tool)) continue;
      expect(tool.getBoundingClientRect().right, tool.textContent!).toBeLessThanOrEqual(width);
    }
  });

  it('shows a long message on the cloth, over none of the controls, and lets it be closed', async () => {
    ui().say('The breakwater is long, and the tide is out. '.repeat(4));
    await until('it is shown', () => box('.notice').height > 20);
    const notice = box('.notice-box');
    const cloth = box('.cloth-panel');
    expect(notice.top).toBeGreaterThanOrEqual(cloth.top);
    expect(notice.bottom).toBeLessThanOrEqual(cloth.bottom + 2);
    expect(notice.left).toBeGreaterThanOrEqual(cloth.left - 1);
    const seen = [...document.querySelectorAll<HTMLElement>('.bottom-edge button, .pick-menu-button')].filter(
      (each) => {
        const { top, bottom } = each.getBoundingClientRect();
        return top >= 0 && bottom <= height;
      },
    );
    expect(seen.length).toBeGreaterThan(5);
    for (const control of seen) {
      const { left, top, width: w, height: h } = control.getBoundingClientRect();
      expect(showsAt(left + w / 2, top + h / 2, control), control.textContent!).toBe(true);
    }
    document.querySelector<HTMLElement>('.notice-close')!.click();
    await until('it is closed', () => document.querySelector('.notice')!.textContent === '');
  });

  it('holds the keys whole: all of the list can be scrolled to, and the way out stays', async () => {
    ui().showKeys(true);
    await until('they are shown', () => document.querySelector('.keys-dialog[open]') !== null);
    const dialog = box('.keys-dialog');
    expect(dialog.left).toBeGreaterThanOrEqual(0);
    expect(dialog.right).toBeLessThanOrEqual(width);
    expect(dialog.top).toBeGreaterThanOrEqual(0);
    expect(dialog.bottom).toBeLessThanOrEqual(height);
    const body = document.querySelector<HTMLElement>('.keys-dialog .dialog-body')!;
    expect(body.scrollWidth).toBeLessThanOrEqual(body.clientWidth);
    body.scrollTop = body.scrollHeight;
    const close = document.querySelector<HTMLElement>('.keys-dialog form button')!.getBoundingClientRect();
    expect(close.bottom).toBeLessThanOrEqual(height);
    const last = [...body.children].at(-1)!.getBoundingClientRect();
    expect(last.bottom).toBeLessThanOrEqual(close.top);
    ui().showKeys(false);
  });
});

describe('a focus that moves down the page', () => {
  it('is never hidden behind the cloth', async () => {
    await page.viewport(360, 740);
    await frame();
    window.scrollTo(0, document.documentElement.scrollHeight);
    await frame();
    const button = document.querySelector<HTMLElement>('.yarn-change')!;
    button.focus();
    await frame();
    expect(button.getBoundingClientRect().top).toBeGreaterThanOrEqual(box('.cloth-panel').bottom - 1);
  });
});

describe('a telephone', () => {
  beforeEach(() => page.viewport(390, 844));

  it('cuts nothing of how the draft is drawn, which no finger could point at', async () => {
    ui().toggleDrawer();
    await until('it is told', () => document.querySelector('.draft-line') !== null);
    await frame();
    const { scrollWidth, clientWidth } = document.querySelector('.draft-line')!;
    expect(scrollWidth).toBeLessThanOrEqual(clientWidth);
  });

  it('goes down the page with Tab, part by part as it is seen', async () => {
    await until('it is laid out below each other', () => box('.shelf').top > box('.bottom-edge').top);
    await until(
      'all is there',
      () => document.querySelector('[aria-label="Yarns in this sample"] [role=row]') !== null,
    );
    await laid.table.forecast.settled();
    await frame();
    const parts: string[] = [];
    document.querySelector<HTMLElement>('.warp-edge button')!.focus();
    for (let k = 0; k < 120; k++) {
      const part = document.activeElement?.closest('.table > *');
      if (!part) break;
      if (parts.at(-1) !== part.classList[0]) parts.push(part.classList[0]);
      if (part.matches('.draft-drawer')) break;
      await userEvent.keyboard('{Tab}');
    }
    expect(parts).toEqual(['warp-edge', 'cloth-edge', 'bottom-edge', 'shelf', 'readings', 'draft-drawer']);
    // Warp and cloth stay where they are while the page goes on below them.
    window.scrollTo(0, 0);
    await frame();
    const tops = parts.map((each) => box(`.table > .${each}`).top);
    expect(tops).toEqual([...tops].sort((a, b) => a - b));
  });
});

describe('a small window of a desk', () => {
  beforeEach(() => page.viewport(900, 650));

  it('leaves a drawer room to be worked in, and messages off the readings', async () => {
    ui().togglePlan('checks');
    await until('the drawer is open', () => document.querySelector('.plan-panel fieldset') !== null);
    // Long enough for three lines.
    ui().say('What is told here is long. '.repeat(6));
    await frame();
    expect(box('.plan-panel').height).toBeGreaterThan(0.34 * 650);
    expect(box('.cloth-panel').height).toBeGreaterThan(0.3 * 650);
    const [notice, readings, shelf] = ['.notice-box', '.readings', '.shelf'].map(box);
    expect(notice.height).toBeGreaterThan(30);
    expect(notice.right).toBeLessThanOrEqual(readings.left + 1);
    expect(notice.left).toBeGreaterThanOrEqual(shelf.right - 1);
    expect(notice.bottom).toBeLessThanOrEqual(box('.draft-row').top + 1);
  });

  it('lets shortcuts through while the distance has the focus, and arrows move it', async () => {
    const slider = document.querySelector<HTMLInputElement>('.distance')!;
    slider.focus();
    await userEvent.keyboard('v');
    expect(ui().lightnessOnly).toBe(true);
    await userEvent.keyboard('{ArrowRight}');
    expect(ui().heldAtMm).not.toBeNull();
  });

  it('keeps what was chosen in a drawer while it is closed', async () => {
    const list = () => document.querySelector<HTMLSelectElement>('.checks select');
    ui().togglePlan('checks');
    await until('the drawer is open', () => document.querySelector('.checks') !== null);
    const fault = [...document.querySelectorAll<HTMLSelectElement>('.checks select')].at(-1)!;
    fault.value = fault.options[1].value;
    fault.dispatchEvent(new Event('change', { bubbles: true }));
    ui().togglePlan('checks');
    await until('it is out of sight', () => list()!.checkVisibility() === false);
    ui().togglePlan('checks');
    await until('it is there again', () => list()!.checkVisibility());
    expect([...document.querySelectorAll<HTMLSelectElement>('.checks select')].at(-1)!.value).toBe(
      fault.options[1].value,
    );
  });
});

describe.each([
  [1280, 800],
  [1100, 700],
])('a low window of %i × %i', (width, height) => {
  beforeEach(() => page.viewport(width, height));

  it('keeps the tools below an open drawer in it, over none of the drawer', async () => {
    for (const part of ['reed', 'yarn'] as const) {
      ui().togglePlan(part);
      await until('it is open', () => document.querySelector('.draft-handle[aria-expanded="true"]') !== null);
      await until('its panel is there', () => box('.draft-drawer').height > 100);
      await frame();
      const drawer = document.querySelector('.draft-drawer')!;
      const tools = box('.bottom-edge');
      expect(tools.bottom).toBeLessThanOrEqual(height + 1);
      expect(tools.height).toBeGreaterThan(60);
      // Lower windows than the commonest have no room for all three rows: there they scroll.
      const { scrollHeight, clientHeight } = document.querySelector('.bottom-edge')!;
      if (height >= 800) expect(scrollHeight).toBeLessThanOrEqual(clientHeight + 1);
      expect(drawer.scrollHeight).toBeLessThanOrEqual(drawer.clientHeight + 1);
      ui().togglePlan(part);
      await frame();
    }
  });
});
