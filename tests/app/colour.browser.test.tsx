import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { codesFromLinear, colourDifference, type LinearRgb, linearFromHex } from '#engine/colour/colour.ts';
import { labFromHex, lchFromHex } from '#engine/colour/colourNumbers.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';
import { violations } from './violations.ts';

let laid: LaidTable;

const colourNow = () => laid.table.samples.state.getState().sample.yarns.kelp.coneColour;
const steps = () => laid.table.samples.historySize().steps;
const there = (selector: string) => until(`there is ${selector}`, () => document.querySelector(selector) !== null);
const words = () => document.querySelector('.yarn-details')!.textContent!;

function byRole(role: string, name: string | RegExp): HTMLElement {
  return page.getByRole(role, { name, exact: typeof name === 'string' }).element() as HTMLElement;
}

async function openWay(tab: string, selector: string): Promise<void> {
  byRole('tab', tab).click();
  await there(selector);
}

beforeEach(async () => {
  localStorage.clear();
  // The page's own language is in index.html, which tests do not load.
  document.documentElement.lang = 'en-GB';
  await page.viewport(900, 620);
  laid = await layTable(smallSample());
  await until('the shelf is there', () => document.querySelector('[aria-label="Yarns in this sample"]') !== null);
  laid.table.ui.getState().chooseYarn('kelp');
  await there('.yarn-details');
  byRole('button', 'Pick the colour').click();
  await there('.colour-area');
});

afterEach(() => laid.clear());

describe('a chip', () => {
  it('is reached by arrows and taken by Enter, as one undo step', async () => {
    await openWay('Chip', '.hue-chips .chip');
    await until('the stock is there too', () => document.querySelectorAll('.used-chips .chip').length > 20);
    const before = colourNow();
    const first = document.querySelector<HTMLElement>('.hue-chips .chip')!;
    first.focus();
    await userEvent.keyboard('{ArrowDown}{ArrowDown}{ArrowRight}{ArrowRight}');
    expect(colourNow()).toBe(before);
    const name = document.activeElement!.getAttribute('aria-label') ?? '';
    expect(name).toMatch(/L\* 70, C\* 30/);
    await userEvent.keyboard('{Enter}');
    expect(steps()).toBe(1);
    const [l, c] = lchFromHex(colourNow());
    expect(Math.abs(l - 70)).toBeLessThan(0.6);
    expect(Math.abs(c - 30)).toBeLessThan(1.2);
    laid.table.samples.undo();
    expect(colourNow()).toBe(before);
  });

  it('may be a colour in use: this sample yarns come first, by name, the stock after them', async () => {
    await openWay('Chip', '.used-chips .chip');
    const named = [...document.querySelectorAll<HTMLElement>('.named-chip')];
    const mine = Object.values(laid.table.samples.state.getState().sample.yarns);
    expect(named.map(({ textContent }) => textContent)).toEqual(mine.map(({ name }) => name));
    const before = named[0].compareDocumentPosition(document.querySelector('.used-chips')!);
    expect(before & Node.DOCUMENT_POSITION_FOLLOWING).toBeTruthy();
    byRole('option', /^gull/).click();
    expect(colourNow()).toBe(laid.table.samples.state.getState().sample.yarns.gull.coneColour.toLowerCase());
    expect(steps()).toBe(1);
  });
});

describe('a number', () => {
  it('in L*a*b* dyes the yarn; one that cannot be changes nothing and says why', async () => {
    await openWay('Number', '.colour-numbers');
    await userEvent.fill(byRole('textbox', 'CIE L* a* b*'), '45 -20 18');
    await userEvent.keyboard('{Enter}');
    const taken = colourNow();
    expect(steps()).toBe(1);
    const [l, c] = lchFromHex(taken);
    // No code is quite that colour; what was typed stands all the same, until the colour is another.
    expect(
      labFromHex(taken)
        .map((each) => each.toFixed(1))
        .join(' '),
    ).not.toBe('45.0 -20.0 18.0');
    expect((byRole('textbox', 'CIE L* a* b*') as HTMLInputElement).value).toBe('45 -20 18');
    laid.table.samples.undo();
    await until(
      'the number follows',
      () => (byRole('textbox', 'CIE L* a* b*') as HTMLInputElement).value !== '45 -20 18',
    );
    laid.table.samples.redo();
    expect(Math.abs(l - 45)).toBeLessThan(0.3);
    expect(Math.abs(c - Math.hypot(20, 18))).toBeLessThan(0.6);
    await userEvent.fill(byRole('textbox', 'CIE L* C* h'), '60 130 150');
    await userEvent.keyboard('{Enter}');
    await until('the reason is told', () => words().includes('Lower C* to that'));
    await userEvent.fill(byRole('textbox', 'CIE L* a* b*'), '45 -20');
    await userEvent.keyboard('{Enter}');
    await until('the other reason is told', () => words().includes('is 2 numbers'));
    expect(colourNow()).toBe(taken);
    expect(steps()).toBe(1);
  });
});

/** A grey card of 18 % at the left, yarn at the right, under a warm light, as a PNG file. */
async function photographOf(yarn: LinearRgb): Promise<File> {
  const canvas = new OffscreenCanvas(80, 40);
  const context = canvas.getContext('2d')!;
  const light: LinearRgb = [0.8, 0.65, 0.45];
  const paint = (colour: LinearRgb, x: number) => {
    const [r, g, b] = codesFromLinear([colour[0] * light[0], colour[1] * light[1], colour[2] * light[2]]);
    context.fillStyle = `rgb(${r} ${g} ${b})`;
    context.fillRect(x, 0, 40, 40);
  };
  paint([0.18, 0.18, 0.18], 0);
  paint(yarn, 40);
  return new File([await canvas.convertToBlob({ type: 'image/png' })], 'cone.png', { type: 'image/png' });
}

async function openPhotograph(file: File): Promise<void> {
  await openWay('Photo', 'input[type=file]');
  await userEvent.upload(document.querySelector<HTMLElement>('input[type=file]')!, file);
}

describe('a photograph beside a grey card', () => {
  const yarn = linearFromHex('#8a4b2f');

  it('gives the colour without the cast, its patches placed by keys', async () => {
    await openPhotograph(await photographOf(yarn));
    await there('.photograph-patch');
    expect(words()).toContain('Mark the card.');
    byRole('button', /^Grey card patch/).focus();
    await userEvent.keyboard('{ArrowLeft}{Shift>}{ArrowRight}{ArrowUp}{/Shift}');
    await until('the card is marked', () => words().includes('Mark the yarn.'));
    expect(byRole('button', /^Grey card patch/).getAttribute('aria-label')).toContain('7 by 7 pixels');
    byRole('button', /^Yarn patch/).focus();
    await userEvent.keyboard('{Enter}');
    await until('the colour is told', () => document.querySelector('.photograph-swatch') !== null);
    expect(steps()).toBe(0);
    byRole('button', 'Dye the yarn so').click();
    expect(steps()).toBe(1);
    // Flat patches without noise: rounding to 8 bits of card and yarn.
    expect(colourDifference(linearFromHex(colourNow()), yarn)).toBeLessThan(1);
    expect(laid.table.samples.state.getState().sample.yarns.kelp.provenance!.coneColour).toBe(
      'measured by you: photographed beside a grey card, 18 %',
    );
  });

  it('is marked by click and drag too, and a patch over both is doubted', async () => {
    await openPhotograph(await photographOf(yarn));
    await there('.photograph-stage');
    const stage = document.querySelector<HTMLElement>('.photograph-stage')!;
    const { width, height } = stage.getBoundingClientRect();
    await userEvent.click(stage, { position: { x: width * 0.25, y: height / 2 } });
    await userEvent.click(stage, { position: { x: width * 0.75, y: height / 2 } });
    await until('the colour is told', () => document.querySelector('.photograph-swatch') !== null);
    expect(document.querySelector('.photograph-colour .trouble')).toBeNull();
    byRole('radio', 'Grey card').click();
    await userEvent.dragAndDrop(stage, stage, {
      sourcePosition: { x: width * 0.3, y: height * 0.2 },
      targetPosition: { x: width * 0.9, y: height * 0.8 },
    });
    await until('it is doubted', () => words().includes('The patches lie one over the other'));
  });

  it('what is no picture is refused with what to do', async () => {
    await openPhotograph(new File(['kelp'], 'kelp.png', { type: 'image/png' }));
    await until('it is refused', () => words().includes('kelp.png is not a picture that this browser can read.'));
    expect(document.querySelector('.photograph-stage')).toBeNull();
  });
});

describe('every way', () => {
  it.each(['light', 'dark'])('is clean by axe-core, in the %s scheme and on a phone', async (scheme) => {
    document.documentElement.style.colorScheme = scheme;
    await page.viewport(360, 740);
    const trouble: Record<string, string[]> = {};
    for (const [tab, selector] of [
      ['Chip', '.hue-chips .chip'],
      ['Number', '.colour-numbers'],
      ['Photo', 'input[type=file]'],
    ]) {
      await openWay(tab, selector);
      if (tab === 'Photo') {
        await openPhotograph(await photographOf([0.2, 0.1, 0.05]));
        await there('.photograph-patch');
      }
      // From the page's beginning, so that nothing lies half under the cloth, which stays in sight.
      window.scrollTo(0, 0);
      trouble[tab] = await violations();
      expect(document.documentElement.scrollWidth).toBeLessThanOrEqual(360);
    }
    document.documentElement.style.colorScheme = '';
    expect(trouble).toEqual({ Chip: [], Number: [], Photo: [] });
  });
});
