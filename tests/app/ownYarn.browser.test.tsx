import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';
import { violations } from './violations.ts';

let laid: LaidTable;
const sample = () => laid.table.samples.state.getState().sample;
const dialog = () => document.querySelector<HTMLDialogElement>('.own-yarn-dialog[open]');
const text = () => dialog()!.textContent!;
const field = (label: string) => page.getByLabelText(label, { exact: false });

async function open(): Promise<void> {
  const button = document.querySelector<HTMLElement>('.own-yarn-button')!;
  button.focus();
  await userEvent.keyboard('{Enter}');
  await until('the form is open', () => dialog() !== null);
}

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en-GB';
  await page.viewport(1000, 640);
  laid = await layTable(smallSample());
  await until('the shelf is there', () => document.querySelector('.own-yarn-button') !== null);
  await until('the forecast is settled', () => laid.table.forecast.state.getState().status === 'settled');
});

afterEach(async () => {
  await laid.clear();
});

/** 10 g of 40 m, 12 turns in 2.5 cm: by keys alone, in the order of the form. */
async function typeTwine(): Promise<void> {
  (dialog()!.querySelector('input') as HTMLElement).focus();
  await userEvent.keyboard('net twine{Tab}linen{Tab}{Tab}2{Tab}');
  await userEvent.keyboard('10{Tab}{Tab}40{Tab}{Tab}');
  await userEvent.keyboard('30{Tab}{Tab}{Tab}');
}

describe('a yarn of your own', () => {
  it('is written by keys, seen at once with its ranges, put on the shelf, woven and undone', async () => {
    await open();
    expect(text()).toMatch(/Weigh a length, or copy the count/);
    const put = [...dialog()!.querySelectorAll('button')].find(
      ({ textContent }) => textContent === 'Put it on the shelf',
    )!;
    expect(put.disabled).toBe(true);
    await typeTwine();
    // 10 g to 1 g in 40 m: 250 tex, give or take a tenth and the pull of the hand.
    expect(text()).toMatch(/≈ 250 \(222–279\) tex/);
    expect(text()).toMatch(/Width, slack≈ 0\.833/);
    expect(dialog()!.querySelector('.wound-card')).not.toBeNull();
    expect(put.disabled).toBe(false);
    expect(await violations()).toEqual([]);
    dialog()!.querySelector<HTMLElement>('input')!.focus();
    await userEvent.keyboard('{Enter}');
    await until('the form has closed', () => document.querySelector('.own-yarn-dialog') === null);
    const card = sample().yarns['net-twine'];
    expect(card).toMatchObject({
      name: 'net twine',
      fibre: 'linen',
      tex: 250,
      plies: 2,
      ranges: { tex: [221.6, 279.2] },
    });
    expect(card.provenance!.tex).toMatch(/^measured by you: 10 g/);
    expect(document.activeElement?.className).toContain('own-yarn-button');

    laid.table.weaveWith('net-twine', 'picks', { from: 0, to: 1 });
    await until('it is woven', () => {
      const { status, result, cloth } = laid.table.forecast.state.getState();
      return status === 'settled' && result !== undefined && cloth!.namesOf.includes('net twine');
    });
    const { readings } = laid.table.forecast.state.getState().result!;
    expect(readings.picksPerCm.value).toBeGreaterThan(0);

    laid.table.ui.getState().chooseYarn('net-twine');
    await until('its details are open', () => document.querySelector('.yarn-sources') !== null);
    expect(document.querySelector('.yarn-sources')!.textContent).toMatch(/Count≈ 250 \(222–279\) texmeasured by you/);
    expect(await violations()).toEqual([]);
    laid.table.samples.undo();
    laid.table.samples.undo();
    expect(sample().yarns).not.toHaveProperty('net-twine');
  });

  it('tells what does not go together, where and what to do, and loses nothing by being closed', async () => {
    await open();
    await field('Weight, g').fill('20');
    await field('Length, m').fill('40');
    await field('Turns, slack').fill('90');
    await until('it is told', () => /do not go together/.test(text()));
    expect(text()).toMatch(/Count again with the turns beside each other/);
    const turns = [...dialog()!.querySelectorAll('input')].find(({ value }) => value === '90')!;
    expect(turns.getAttribute('aria-invalid')).toBe('true');
    expect(await violations()).toEqual([]);
    await field('Length, m').fill('forty');
    expect(text()).toMatch(/"forty" is not a figure above 0/);
    await userEvent.keyboard('{Escape}');
    await until('the form has closed', () => document.querySelector('.own-yarn-dialog') === null);
    await open();
    expect([...dialog()!.querySelectorAll('input')].map(({ value }) => value)).toContain('forty');
    const afresh = [...dialog()!.querySelectorAll('button')].find(({ textContent }) => textContent === 'Start afresh')!;
    afresh.click();
    await until('it is empty', () => ![...dialog()!.querySelectorAll('input')].some(({ value }) => value === 'forty'));
  });

  it('fits a phone', async () => {
    await page.viewport(360, 740);
    await open();
    await field('Weight, g').fill('10');
    await field('Length, m').fill('40');
    const body = dialog()!.querySelector('.dialog-body')!;
    expect(body.scrollWidth).toBeLessThanOrEqual(body.clientWidth);
    expect(dialog()!.getBoundingClientRect().right).toBeLessThanOrEqual(360);
    for (const button of dialog()!.querySelectorAll('.dialog-foot button'))
      expect(button.getBoundingClientRect().bottom).toBeLessThanOrEqual(740);
    expect(await violations()).toEqual([]);
  });
});

describe('what is left', () => {
  it('is noted on the yarn’s details, held against what the sample takes, and undone', async () => {
    laid.table.ui.getState().chooseYarn('kelp');
    await until('its details are open', () => document.querySelector('.yarn-left') !== null);
    await field('Left on the shelf, g').fill('0.02');
    await userEvent.keyboard('{Enter}');
    expect(sample().yarns.kelp.left).toEqual({ grams: 0.02 });
    await until('it is told', () =>
      /That is too little by about/.test(document.querySelector('.yarn-left')!.textContent!),
    );
    await field('Left on the shelf, g').fill('200');
    await userEvent.keyboard('{Enter}');
    await until('it is enough', () => /That is enough/.test(document.querySelector('.yarn-left')!.textContent!));
    // 200 g of 147.6 tex are 1355 m: the definition of tex.
    expect(document.querySelector('[aria-label="Yarns in this sample"]')!.textContent).toMatch(/≈ 1,355 m left/);
    laid.table.samples.undo();
    expect(sample().yarns.kelp.left).toEqual({ grams: 0.02 });
  });
});

describe('colours in a yarn', () => {
  const named = (label: string) => document.querySelector<HTMLElement>(`.yarn-colours [aria-label="${label}"]`)!;
  const told = () => document.querySelector('.yarn-colours .trouble')!.textContent!;

  it('are chosen ply by ply, of fibres and along it on its details, told where they cannot be, and undone', async () => {
    laid.table.ui.getState().chooseYarn('kelp');
    await until('its details are open', () => document.querySelector('.yarn-colours') !== null);
    const before = sample().yarns.kelp;
    await page.getByLabelText('Coloured').selectOptions('plies');
    expect(sample().yarns.kelp.plyColours).toHaveLength(2);
    expect(await violations()).toEqual([]);
    await page.getByLabelText('Coloured').selectOptions('length');
    expect(sample().yarns.kelp.colourRepeat).toMatchObject({ lengthMm: 120, startMm: 0, stops: { length: 2 } });
    await field('2, length, cm').fill('4,5');
    await userEvent.keyboard('{Enter}');
    expect(sample().yarns.kelp.colourRepeat!.lengthMm).toBe(105);
    await field('The first pick begins so far into').fill('6');
    await userEvent.keyboard('{Enter}');
    expect(sample().yarns.kelp.colourRepeat!.startMm).toBe(60);
    await field('1, length, cm').fill('six');
    await userEvent.keyboard('{Enter}');
    expect(told()).toMatch(/How much of colour 1: "six" is not a figure above 0\. Write it like 6/);
    expect(named('Take colour 1 away')).toHaveProperty('disabled', true);
    expect(await violations()).toEqual([]);
    for (let step = 0; step < 4; step++) laid.table.samples.undo();
    expect(sample().yarns.kelp).toEqual(before);
  });

  it('pool where two picks of the sample take a whole repeat, as the page reads it', async () => {
    laid.table.ui.getState().chooseYarn('kelp');
    await until('its details are open', () => document.querySelector('.yarn-colours') !== null);
    await page.getByLabelText('Coloured').selectOptions('length');
    const words = () => document.querySelector('.yarn-pooling p')!.textContent!;
    await until('it is read in picks', () => /picks? of this width/.test(words()));
    const picks = Number(/([\d.]+) picks? of this width/.exec(words())![1]);
    const { lengthMm } = sample().yarns.kelp.colourRepeat!;
    // Two picks by definition of pooling; the reading shows a tenth.
    const wanted = (2 * lengthMm) / picks;
    expect(wanted).toBeGreaterThan(60);
    await field('2, length, cm').fill(((wanted - 60) / 10).toFixed(2));
    await userEvent.keyboard('{Enter}');
    await until('they pool', () => /they pool/.test(words()));
  });
});

describe('a yarn with a long name, cautions and colours along it', () => {
  it('tells all of it within the shelf', async () => {
    await laid.table.fetchStock();
    laid.table.weaveWith('variegated-acrylic-dk', 'picks', { from: 0, to: 5 });
    laid.table.ui.getState().chooseYarn('variegated-acrylic-dk');
    await until('its details are open', () => document.querySelector('.yarn-pooling') !== null);
    document.querySelector<HTMLElement>('.yarn-sources summary')!.click();
    const shelf = document.querySelector('.shelf')!;
    await until('its sources are shown', () => document.querySelector('.yarn-sources ul')!.clientHeight > 0);
    expect(shelf.scrollWidth).toBeLessThanOrEqual(shelf.clientWidth);
    expect(document.querySelector('.yarn-care')!.textContent).toMatch(/Melts.*Heat:.*local fire and safety codes/s);
    await until('it says how they come again here', () =>
      /come again every 1\.2 m, [\d.]+ picks of this width/.test(document.querySelector('.yarn-pooling')!.textContent!),
    );
    expect(await violations()).toEqual([]);
  });
});
