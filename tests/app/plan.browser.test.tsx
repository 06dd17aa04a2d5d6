import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { setYarnLeft } from '#document/commands/yarnCommands.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';
import { violations } from './violations.ts';

let laid: LaidTable;
const sample = () => laid.table.samples.state.getState().sample;
const panel = () => document.querySelector<HTMLElement>('.plan-panel');
const part = (legend: string) =>
  [...document.querySelectorAll('.plan-panel fieldset, .plan-table, .laying fieldset')].find((each) =>
    each.querySelector('legend, caption')?.textContent?.startsWith(legend),
  ) as HTMLElement;
const field = (within: HTMLElement, words: string) =>
  [...within.querySelectorAll('label')]
    .find(({ textContent }) => textContent?.includes(words))!
    .querySelector('input')!;
const button = (within: Element, words: string) =>
  [...within.querySelectorAll('button')].find(({ textContent }) => textContent?.startsWith(words))!;

async function open(key: string): Promise<void> {
  await userEvent.keyboard(key);
  await until('the panel is open', () => panel() !== null || document.querySelector('.laying') !== null);
}

const settled = () => until('it is settled', () => laid.table.forecast.state.getState().status === 'settled');

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en-GB';
  await page.viewport(1280, 800);
  laid = await layTable(smallSample());
  await settled();
});

afterEach(async () => {
  await laid.clear();
});

describe('reed and beat', () => {
  it('takes an order of dents, refuses what is none and keeps it to be put right, and is undone', async () => {
    await open('r');
    const reed = part('Reed');
    await userEvent.fill(field(reed, 'Ends in each dent'), '2 2 0 3');
    await userEvent.keyboard('{Enter}');
    expect(sample().warp.reed.endsPerDent).toBe('2 2 0 3');
    await until('the words follow', () => /24 ends in 14 dents/.test(reed.textContent!));
    await userEvent.fill(field(reed, 'Ends in each dent'), '2 two');
    await userEvent.keyboard('{Enter}');
    expect(reed.textContent).toMatch(/cannot be read at character 3/);
    expect(field(reed, 'Ends in each dent').value).toBe('2 two');
    expect(sample().warp.reed.endsPerDent).toBe('2 2 0 3');
    laid.table.samples.undo();
    expect(sample().warp.reed.endsPerDent).toBe(2);
    expect(await violations()).toEqual([]);
  });

  it('takes the tension of the ends and the unevenness of the hand, each undone, and weaves it another time', async () => {
    await open('r');
    const before = sample();
    await userEvent.fill(field(part('Reed'), 'Tension of each end'), '90');
    await userEvent.fill(field(part('The hand'), 'The beat differs from pick to pick by'), '12');
    const again = part('The hand').querySelector('button')!;
    await userEvent.click(again);
    expect(sample().warp.tensionCNPerEnd).toBe(90);
    expect(sample().beat).toMatchObject({ scatterPercent: 12, seed: before.beat.seed + 1 });
    expect(await violations()).toEqual([]);
    for (let k = 0; k < 3; k++) laid.table.samples.undo();
    expect([sample().warp.tensionCNPerEnd, sample().beat]).toEqual([before.warp.tensionCNPerEnd, before.beat]);
  });

  it('says what beat the wanted picks need, and where they jam', async () => {
    await open('r');
    const wanted = part('Picks wanted');
    await userEvent.fill(field(wanted, 'Picks to the cm'), '6.5');
    await userEvent.keyboard('{Enter}');
    await until('the beat is told', () => /needs a beat of \d+ % of the firmest/.test(wanted.textContent!));
    await userEvent.fill(field(wanted, 'Picks to the cm'), '60');
    await userEvent.keyboard('{Enter}');
    await until('the jam is told', () => /60\.0 picks\/cm cannot be beaten in.*jam at/.test(wanted.textContent!));
    await userEvent.clear(field(wanted, 'Picks to the cm'));
    await userEvent.keyboard('{Enter}');
    expect(sample().beat.fixedPicksPerCm).toBeUndefined();
    await until('the strip is back', () => /Structure alone varies by/.test(panel()!.textContent!));
  });

  it('notes a pause before the pick chosen', async () => {
    laid.table.ui.getState().setCursor('picks', 5);
    await open('r');
    await userEvent.fill(field(part('Pause'), 'before pick 6'), '600');
    expect(sample().picks[5].pauseBeforeMin).toBe(600);
    await until('the bar is told', () => /slackens by about 17 %/.test(part('Pause').textContent!));
  });
});

describe('yarn and time', () => {
  it('is one key from the readings, and follows the plan', async () => {
    await open('y');
    await until('sums are there', () => part('Yarn') !== undefined);
    expect(part('Yarn').textContent).toMatch(/kelp/);
    expect(part('Length of warp').textContent).toMatch(/Loom waste68\.6 cm/);
    await userEvent.fill(field(part('The piece'), 'Pieces'), '4');
    await until('four pieces', () => /Yarn, 4 pieces/.test(part('Yarn').textContent!));
    expect(sample().plan).toEqual({ pieces: 4 });
    expect(part('Time at the loom').textContent).toMatch(/Weaving≈ \d+ min/);
    expect(await violations()).toEqual([]);
    await userEvent.clear(field(part('The piece'), 'Pieces'));
    expect(sample().plan).toBeUndefined();
  });
});

describe('half way up, own swatch', () => {
  it('shows three ways on from the height woven, and recuts the rest', async () => {
    await open('h');
    const half = part('Half way up');
    await userEvent.fill(field(half, 'Picks woven'), '6');
    await userEvent.fill(field(half, 'Height woven'), '1.3');
    await until('the ways are there', () => half.querySelectorAll('.ways li').length === 3);
    expect(half.textContent).toMatch(/came out \d+(\.\d)? % taller than planned/);
    expect(await violations()).toEqual([]);
    button(half, 'Weave the rest so').click();
    await until('fewer picks', () => sample().picks.length < 12);
    laid.table.samples.undo();
    expect(sample().picks.length).toBe(12);
  });

  it('fits the beat to what was counted, and keeps it with the loom', async () => {
    await open('h');
    const swatch = part('Own swatch');
    const says = document.querySelector<HTMLElement>('.swatch-says')!;
    expect(says.textContent).toMatch(/Weave a little, measure it/);
    await userEvent.fill(field(swatch, 'Picks on the loom'), '6');
    await userEvent.fill(field(swatch, 'counted over on the loom'), '10');
    expect(sample().measured).toEqual([{ stage: 'onLoom', picksPerCm: 6, picksOverMm: 100 }]);
    await until('the beat is told', () => /You counted 6 \/cm: a beat 0\.\d+ times/.test(says.textContent!));
    button(says, 'Keep it with jetty').click();
    await until('it is kept', () => sample().loom.calibration?.length === 1);
    await until('it can be forgotten', () => button(says, 'Forget it') !== undefined);
    await settled();
    expect(await violations()).toEqual([]);
  });
});

describe('by hand', () => {
  it('lays a weft over some ends, takes it across and back, and cuts the edges', async () => {
    document.querySelector<HTMLElement>('.ribbon-picks')!.focus();
    await open('w');
    const laying = document.querySelector<HTMLElement>('.laying')!;
    const only = part('A weft only here');
    await userEvent.selectOptions(only.querySelector('select')!, 'tar');
    // Ends selected in the warp give the span, and the picks stay.
    laid.table.ui.getState().select({ kind: 'ends', range: { from: 4, to: 8 } });
    await until('the span follows', () => field(only, 'From end').value === '5' && field(only, 'to').value === '9');
    button(only, 'Only here').click();
    expect(sample().picks[0].passes[1]).toMatchObject({ strands: ['tar'], fromEnd: 5, toEnd: 9, ends: 'turn' });
    await until('it can go across', () => !button(only, 'Across').disabled);
    expect(await violations()).toEqual([]);
    button(only, 'Across').click();
    expect(sample().picks[0].passes[1]).toEqual({ strands: ['tar'], enters: 'left', ends: 'selvedge' });
    button(part('Edges'), 'Cut at both edges').click();
    expect(sample().picks[0].passes[0]).toMatchObject({ ends: 'cut', tailMm: 20 });
    await userEvent.keyboard('{Escape}');
    await until('it is closed', () => document.querySelector('.laying') === null);
    expect(laying.isConnected).toBe(false);
  });

  it('winds a second yarn into the picks selected and takes it out, each one step for undo', async () => {
    const before = sample();
    laid.table.ui.getState().select({ kind: 'picks', range: { from: 0, to: 2 } });
    document.querySelector<HTMLElement>('.ribbon-picks')!.focus();
    await open('g');
    const wound = part('Wound together');
    await until('its list has the focus', () => document.activeElement === wound.querySelector('select'));
    await until('the stock is on the list', () => wound.querySelectorAll('option').length > 60);
    const panel = wound.parentElement!.getBoundingClientRect();
    expect(wound.querySelector('select')!.getBoundingClientRect().right).toBeLessThanOrEqual(panel.right);
    await userEvent.selectOptions(wound.querySelector('select')!, 'tar');
    button(wound, 'Wind into picks 1–3').click();
    const strands = () =>
      sample()
        .picks.slice(0, 4)
        .map((pick) => pick.passes[0].strands.join('+'));
    expect(strands()).toEqual(['kelp+tar', 'kelp+tar', 'kelp+tar', 'kelp']);
    expect(laid.table.samples.state.getState().undoName).toBe('wind tar into picks 1–3');
    await until('it is told', () => wound.textContent!.includes('kelp + tar'));
    await until('it can go', () => button(wound, 'Take tar out') !== undefined);
    expect(await violations()).toEqual([]);
    button(wound, 'Take tar out').click();
    expect(sample()).toEqual(before);
    laid.table.samples.undo();
    expect(strands()[0]).toBe('kelp+tar');
    laid.table.samples.undo();
    expect(sample()).toEqual(before);
  });

  it('a weft too short for the web comes with three ways out', async () => {
    laid.table.samples.dispatch(setYarnLeft({ yarn: 'rope', left: { metres: 0.02 } }));
    laid.table.weaveWith('rope', 'picks', { from: 2, to: 3 });
    await until('the ways are offered', () => document.querySelector('.laying') !== null);
    const only = part('A weft only here');
    expect(only.textContent).toMatch(/It is 2 cm long, and the web in the reed is 3 cm wide/);
    expect(only.querySelector('select')!.value).toBe('rope');
    button(only, 'Over 16 ends').click();
    await until('the ends follow', () => field(only, 'From end').value === '5' && field(only, 'to').value === '20');
    button(only, 'Only here').click();
    expect(sample().picks[2].passes[1]).toMatchObject({ strands: ['rope'], fromEnd: 5, toEnd: 20 });
    button(only, 'Weave narrower').click();
    expect(sample().picks[2].passes[0]).toMatchObject({ fromEnd: 5, toEnd: 20, ends: 'turn' });
    laid.table.samples.undo();
    button(only, 'Join lengths').click();
    expect(sample().picks[3].passes[0]).toMatchObject({ strands: ['rope'], ends: 'selvedge' });
  });
});
