import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { toClothProblem } from '#document/toClothProblem.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { readSamplePreset } from '#io/presets.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';
import { violations } from './violations.ts';

let laid: LaidTable;
const sample = () => laid.table.samples.state.getState().sample;
const panel = () => document.querySelector<HTMLElement>('.weaves');
const button = (words: string) =>
  [...document.querySelectorAll<HTMLButtonElement>('.weaves button')].find(({ textContent }) =>
    textContent?.startsWith(words),
  )!;
const standing = (name: string) =>
  [...document.querySelectorAll('.weave-button')]
    .find((each) => each.children[1].textContent === name)
    ?.querySelector('.weave-standing')?.textContent;

async function lay(id: string): Promise<void> {
  const read = await readSamplePreset(id);
  if (!read.ok) throw new Error(read.problems[0].message);
  laid = await layTable(read.value);
  const handle = () =>
    [...document.querySelectorAll<HTMLButtonElement>('.draft-handle')].find(({ textContent }) =>
      textContent?.startsWith('Weaves'),
    );
  // A key pressed before the page is laid goes nowhere.
  await until('the page is laid', () => handle() !== undefined);
  await userEvent.click(handle()!);
  await until('the weaves are open', () => panel() !== null && document.querySelector('.weave-button') !== null);
}

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en-GB';
  await page.viewport(1280, 900);
});

afterEach(async () => {
  await laid.clear();
});

describe('weaves of this loom', () => {
  it('says of each structure whether this warp weaves it, and weaves one that it does, undone in one step', async () => {
    await lay('fog-bank');
    await until(
      'all are looked at',
      () => ![...document.querySelectorAll('.weave-standing')].some((each) => each.textContent === 'looking…'),
    );
    // Straight draw on sixteen: repeats of 2, 4, 8 and 16 ends are there, one of five is not.
    expect(standing('plain')).toBe('weaves here');
    expect(standing('8-end sateen')).toBe('weaves here');
    expect(standing('5-end sateen')).toMatch(/^cannot: /);
    expect(panel()?.textContent).toContain('the smallest step of an edge is 1 end');
    expect(panel()?.textContent).not.toContain('still looking');
    // It has no treadles.
    expect(button('Treadling')).toBeUndefined();
    expect(await violations('.weaves')).toEqual([]);
    const before = sample();
    await userEvent.click(button('2/2 twill'));
    await userEvent.click(button('Weave all 112 picks'));
    const { drawdown } = toClothProblem(sample()).problem;
    const up = (row: number) => [0, 1, 2, 3].filter((end) => isWarpUp(drawdown, row, end)).length;
    expect([0, 1, 2, 3].map(up)).toEqual([2, 2, 2, 2]);
    expect(isWarpUp(drawdown, 0, 4)).toBe(isWarpUp(drawdown, 0, 0));
    laid.table.samples.undo();
    expect(sample()).toEqual(before);
  });

  it('weaves what a fixed tie-up is made for, its treadles in turn, undone in one step', async () => {
    await lay('tarred-rope');
    await userEvent.click(button('Treadling'));
    await until('its orders are told', () => button('3 to 10 in turn') !== undefined);
    // By presets/warps/tarred-twine.json: 1 and 2 plain, 3 to 10 a twill line; the point draw woven so is to and fro.
    await userEvent.click(button('3 to 10 to and fro'));
    expect(panel()?.textContent).toContain('14 picks to the repeat. It holds as one cloth.');
    expect(await violations('.weaves')).toEqual([]);
    const before = sample();
    await userEvent.click(button('Weave all 120 picks so'));
    const to = [3, 4, 5, 6, 7, 8, 9, 10];
    const toAndFro = [...to, ...to.slice(1, -1).reverse()];
    expect(
      sample()
        .picks.slice(0, 28)
        .map(({ lift }) => lift),
    ).toEqual([...toAndFro, ...toAndFro].map((each) => [each]));
    expect(sample().warp).toEqual(before.warp);
    laid.table.samples.undo();
    expect(sample()).toEqual(before);
    const field = page.getByLabelText('Treadling, first pick first').element() as HTMLInputElement;
    await userEvent.fill(field, '1 11');
    await userEvent.keyboard('{Enter}');
    await until('it is refused', () => /treadle 11; there are treadles 1 to 10/.test(panel()?.textContent ?? ''));
    expect(button('Weave all 120 picks so').disabled).toBe(true);
    expect(field.value).toBe('1 11');
    await userEvent.fill(field, '1');
    await userEvent.keyboard('{Enter}');
    await until('it is looked at', () => /1 pick to the repeat/.test(panel()?.textContent ?? ''));
    // Each of the 71 ends stays up or down for good.
    expect(panel()?.textContent).toContain('71 threads would lie loose');
  });

  it('does not guess the order of treadles that are tied to no twill line', async () => {
    await lay('net-store-towel');
    await userEvent.click(button('Treadling'));
    // presets/warps/towel.json: treadles 1 to 5 weave the cells, 6 and 7 plain hems.
    await until('it says so', () => /No twill line is tied/.test(panel()?.textContent ?? ''));
    expect(panel()?.textContent).toContain('Noted of this warp: Treadles 1 to 5 weave the cells');
    expect(button('1 to 7 in turn')).toBeUndefined();
    expect(panel()?.querySelector('[aria-label^="Treadling "]')).toBeNull();
    expect(panel()?.textContent).not.toContain('Name a treadle');
    expect((page.getByRole('button', { name: / so$/ }).element() as HTMLButtonElement).disabled).toBe(true);
    expect(await violations('.weaves')).toEqual([]);
    const field = page.getByLabelText('Treadling, first pick first').element() as HTMLInputElement;
    await userEvent.fill(field, 'point 1-5');
    await userEvent.keyboard('{Enter}');
    await until('it is looked at', () => /8 picks to the repeat/.test(panel()?.textContent ?? ''));
  });

  it('plans blocks on the draw of a block warp, and says what does not fit', async () => {
    await lay('float-pockets');
    await userEvent.click(button('Blocks'));
    await until('a draft comes of it', () => /blocks? on \d+ shafts/.test(panel()?.textContent ?? ''));
    expect(panel()?.textContent).toContain('On this warp: weaves here');
    const square = () => document.querySelector<HTMLButtonElement>('[aria-label^="Row 1, block 1:"]')!;
    const look = () => square().getAttribute('aria-label')?.split(': ')[1];
    square().focus();
    await userEvent.keyboard('{Enter}');
    expect(look()).toBe('filled');
    await userEvent.click(button('One more structure'));
    square().focus();
    await userEvent.keyboard('3');
    expect(look()).toBe('striped');
    await userEvent.keyboard('{ArrowRight}');
    expect(document.activeElement?.getAttribute('aria-label')).toMatch(/^Row 1, block 2:/);
    await userEvent.click(button('Without striped squares'));
    expect(look()).toBe('empty');
    expect(await violations('.weaves')).toEqual([]);
  });

  it('weaves a trial strip in one step, sorts it, and takes a band', async () => {
    await lay('fog-bank');
    const picksBefore = sample().picks.length;
    await userEvent.click(button('Trial strip'));
    await until('structures can be chosen', () => !(button('Weave the strip')?.disabled ?? true));
    await userEvent.click(button('Weave the strip'));
    await until('the bands are woven', () => document.querySelectorAll('.weaves tbody tr').length > 0);
    const rows = () => [...document.querySelectorAll('.weaves tbody tr')];
    const gaps = rows().map((row) => Number(row.children[1].textContent));
    expect(gaps).toEqual([...gaps].sort((a, b) => b - a));
    expect(laid.table.samples.state.getState().undoName).toBe('weave a trial strip');
    expect(await violations('.weaves')).toEqual([]);
    const first = rows()[0].firstElementChild?.textContent ?? '';
    await userEvent.click([...rows()[0].querySelectorAll('button')].find(({ textContent }) => textContent === 'Take')!);
    expect(sample().picks).toHaveLength(picksBefore);
    const weft = sample().yarns[sample().picks[0].passes[0].strands[0]].name;
    expect(first.startsWith(weft)).toBe(true);
  });
});
