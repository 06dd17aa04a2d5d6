import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';
import { violations } from './violations.ts';

let laid: LaidTable;
const treatments = () => laid.table.samples.state.getState().sample.afterLoom ?? [];
const panel = () => document.querySelector<HTMLElement>('.after-loom');
const item = (place: number) => document.querySelectorAll<HTMLElement>('.treatments > li')[place - 1];
const button = (within: HTMLElement, words: string) =>
  [...within.querySelectorAll('button')].find(({ textContent }) => textContent === words)!;
const coloursOf = () => laid.table.forecast.state.getState().cloth!.coloursOf;

/** Opening the panel moves the cloth: marks that lie on it have stayed for a third of a second. */
async function clothLiesStill(): Promise<void> {
  const places = () =>
    [...document.querySelectorAll('.cut-place')].map((place) => JSON.stringify(place.getBoundingClientRect())).join();
  let before = '';
  let since = performance.now();
  await until('the cloth lies still', () => {
    const now = places();
    if (now !== before) since = performance.now();
    before = now;
    return now !== '' && performance.now() - since > 333;
  });
}

/** Where on the page a place of the cloth lies, by the line's two marks and the cloth's pitches. */
function placesSeen(): (end: number, pick: number) => { clientX: number; clientY: number } {
  const { endXMm, rowYMm, ends, rows } = laid.table.forecast.state.getState().result!.geometry;
  const endMm = (endXMm[ends - 1] - endXMm[0]) / (ends - 1);
  const pickMm = (rowYMm[rows - 1] - rowYMm[0]) / (rows - 1);
  const middles = [...document.querySelectorAll('.cut-place')].map((mark) => {
    const { left, right, top, bottom } = mark.getBoundingClientRect();
    return { x: (left + right) / 2, y: (top + bottom) / 2 };
  });
  const { line } = treatments()[0] as { line: readonly { end: number; pick: number }[] };
  const perEnd = (middles[1].x - middles[0].x) / (line[1].end - line[0].end);
  return (end, pick) => ({
    clientX: middles[0].x + (end - line[0].end) * perEnd,
    clientY: middles[0].y - ((pick - line[0].pick) * pickMm * perEnd) / endMm,
  });
}

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en-GB';
  await page.viewport(1280, 800);
  laid = await layTable(smallSample());
  await until('there is a cloth', () => laid.table.forecast.state.getState().result !== undefined);
});

afterEach(async () => {
  await laid.clear();
});

describe('after the loom', () => {
  it('is opened by its key, filled by keys alone, put in order, and undone', async () => {
    await userEvent.keyboard('a');
    await until('the panel is open', () => panel() !== null);
    expect(panel()!.textContent).toMatch(/Nothing is done to the cloth yet/);
    button(panel()!, 'Over-dye').focus();
    await userEvent.keyboard('{Enter}');
    await until('it is there', () => treatments().length === 1);
    await until('it has the focus', () => document.activeElement?.textContent === '1. Over-dye');
    expect(item(1).textContent).toMatch(/Takes it: .*kelp/);
    expect(item(1).textContent).toMatch(/mask while powder is weighed.*maker’s sheet and your local rules/);
    await until('the cloth is dyed', () => !coloursOf().flat().includes('#e6e4dd'));

    // To the class of dye, then by its first letter: what cotton does not take.
    item(1).querySelector('select')!.focus();
    await userEvent.selectOptions(item(1).querySelector('select')!, 'acid');
    expect(treatments()[0]).toMatchObject({ dye: 'acid' });
    expect(item(1).textContent).toMatch(/Stays as it is: /);
    await until('the cloth is as it was', () => coloursOf().flat().includes('#e6e4dd'));

    button(panel()!, 'Brush').click();
    await until('both are there', () => treatments().length === 2);
    expect(item(2).textContent).toMatch(/Fibre dust: wear a dust mask/);
    button(item(2), 'Sooner').click();
    await until('the brush goes first', () => treatments()[0].kind === 'brush');
    expect(button(item(1), 'Sooner').disabled).toBe(true);
    expect(await violations()).toEqual([]);

    button(item(1), 'Leave out').click();
    await until('one is left', () => treatments().length === 1);
    for (let k = 0; k < 5; k++) laid.table.samples.undo();
    expect(treatments()).toEqual([]);
  });

  it('a depth or colour is taken once it can be, and a colour looked for is one step', async () => {
    laid.table.ui.getState().toggleAfter();
    await until('the panel is open', () => panel() !== null);
    button(panel()!, 'Over-dye').click();
    await until('it is there', () => treatments().length === 1);
    const depth = item(1).querySelector<HTMLInputElement>('input[type=number]')!;
    await userEvent.fill(depth, '3');
    expect(treatments()[0]).toMatchObject({ depth: 1 });
    await userEvent.fill(depth, '150');
    expect(treatments()[0]).toMatchObject({ depth: 1.5 });
    const colour = item(1).querySelector<HTMLInputElement>('input[type=color]')!;
    const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!;
    for (const code of ['#a03050', '#a03060', '#a03070']) {
      set.call(colour, code);
      colour.dispatchEvent(new Event('input', { bubbles: true }));
    }
    colour.dispatchEvent(new Event('change', { bubbles: true }));
    expect(treatments()[0]).toMatchObject({ colour: '#a03070' });
    laid.table.samples.undo();
    expect(treatments()[0]).toMatchObject({ colour: '#4f86a8', depth: 1.5 });
  });

  it('a cut is drawn on the cloth by pointer, moved by numbers, and tells what is left', async () => {
    laid.table.ui.getState().toggleAfter();
    await until('the panel is open', () => panel() !== null);
    button(panel()!, 'Cut').click();
    await until('it is there', () => treatments().length === 1);
    await until('its line lies on the cloth', () => document.querySelectorAll('.cut-place').length === 2);
    await userEvent.selectOptions(item(1).querySelector('select')!, 'through');
    expect(treatments()[0]).toMatchObject({ what: 'through', keep: 'left' });

    await clothLiesStill();
    const seen = placesSeen();
    button(item(1), 'Draw on the cloth').click();
    await until('the cloth takes clicks', () => document.querySelector('.cut-drawing') !== null);
    const layer = document.querySelector<HTMLElement>('.cut-drawing')!;
    for (const [end, pick] of [
      [6, 11],
      [19, 10.5],
      [18.5, 3],
      [6.5, 3.5],
      [6, 11],
    ]) {
      layer.dispatchEvent(new PointerEvent('pointerdown', { ...seen(end, pick), bubbles: true, pointerId: 1 }));
      await new Promise((resolve) => setTimeout(resolve, 30));
    }
    await until('the outline is closed', () => (treatments()[0] as { closed?: boolean }).closed === true);
    expect(treatments()[0]).toMatchObject({ keep: 'inside' });
    expect((treatments()[0] as { line: unknown[] }).line.length).toBe(4);
    expect(document.querySelector('.cut-drawing')).toBeNull();
    await until('it is cut', () => /What is left is .* × .* cm/.test(item(1).textContent!));
    const { piece } = laid.table.forecast.state.getState().result!.cut!;
    const { widthMm } = piece!;

    item(1).querySelector('summary')!.click();
    const numbers = item(1).querySelectorAll<HTMLInputElement>('.cut-places input');
    expect(numbers.length).toBe(8);
    await userEvent.fill(numbers[2], '23');
    await until('the piece is wider', () => {
      const cut = laid.table.forecast.state.getState().result?.cut;
      return cut?.piece !== undefined && cut.piece.widthMm > widthMm;
    });
    expect(await violations()).toEqual([]);
  });

  it('says where there is nothing to cut', async () => {
    laid.table.ui.getState().toggleAfter();
    await until('the panel is open', () => panel() !== null);
    button(panel()!, 'Clip floats').click();
    await until('it is looked for', () =>
      /Nothing is cut: there are no such floats here/.test(item(1)?.textContent ?? ''),
    );
    expect(item(1).textContent).toMatch(/Blades: cut away from the hand/);
  });

  it.each(['light', 'dark'])(
    'stands in 360 px without running over, in the %s scheme, clean by axe',
    async (scheme) => {
      await page.viewport(360, 740);
      document.documentElement.style.colorScheme = scheme;
      laid.table.ui.getState().toggleAfter();
      await until('the panel is open', () => panel() !== null);
      for (const words of ['Over-dye', 'Brush', 'Clip floats', 'Cut', 'Bend a wire', 'Foil leaf'])
        button(panel()!, words).click();
      await until('all are there', () => treatments().length === 6);
      await until('leaf lies', () => /It covers about 30 % of the face/.test(item(6).textContent!));
      expect(document.documentElement.scrollWidth).toBeLessThanOrEqual(360);
      for (const field of panel()!.querySelectorAll('select, input, button')) {
        expect(field.getBoundingClientRect().right, field.outerHTML).toBeLessThanOrEqual(360);
      }
      expect(await violations()).toEqual([]);
      document.documentElement.style.colorScheme = '';
    },
  );
});
