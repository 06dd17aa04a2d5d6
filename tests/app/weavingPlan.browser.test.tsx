import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { cdp, page, userEvent } from 'vitest/browser';
import { formatNumber } from '#app/words/numbers.ts';
import { beatNeeded } from '#document/beatNeeded.ts';
import { setWarpTension } from '#document/commands/warpCommands.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { readSamplePreset } from '#io/presets.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until, withoutWebGl2 } from './layTable.tsx';

let laid: LaidTable;
let giveBack: () => void;
const plan = () => document.querySelector<HTMLElement>('.weaving-plan')!;
const inMedia = (media: 'print' | '') =>
  (cdp() as unknown as { send(what: string, how: object): Promise<void> }).send('Emulation.setEmulatedMedia', {
    media,
  });

const said = () => plan().textContent!;

async function openPlan(sample: Sample): Promise<void> {
  laid = await layTable(sample);
  await until('the page is laid', () => page.getByRole('button', { name: 'Plan…' }).query() !== null);
  await userEvent.click(page.getByRole('button', { name: 'Plan…' }));
  await until('it is open', () => document.querySelector('.weaving-plan[open] .plan-picks') !== null);
}

beforeEach(async () => {
  localStorage.clear();
  await page.viewport(1280, 800);
  giveBack = withoutWebGl2();
});

afterEach(async () => {
  await inMedia('');
  await laid.clear();
  giveBack();
});

describe('the weaving plan', () => {
  it('takes loom, tie-up, wefts and picks to paper, by themselves and whole', async () => {
    const read = await readSamplePreset('tarred-rope');
    if (!read.ok) throw new Error(read.problems[0].message);
    await openPlan(read.value);
    // Treadle 1 is tied to the odd shafts, as presets/warps/tarred-twine.json has it; shaft 8 stands uppermost.
    const ties = [...plan().querySelectorAll('.tie-up tr')].map((row) => row.children[1].textContent);
    expect(ties).toEqual(['', '×', '', '×', '', '×', '', '×', '1']);
    expect(plan().textContent).toContain('1-8 7-2 x5, 1');
    // Pick 54 of the file: the ground weft in the shed of treadle 3, then a stem over ends 22 to 50, folded behind.
    const pick = [...plan().querySelectorAll('.plan-picks tr')].find(
      ({ firstChild }) => firstChild?.textContent === '54',
    );
    expect([...pick!.children].map(({ textContent }) => textContent)).toEqual([
      '54',
      '3',
      'A ←, then D → ends 22–50, cut at both ends, tails 8 mm folded behind',
    ]);
    await inMedia('print');
    expect(document.querySelector('.table')!.checkVisibility()).toBe(false);
    expect(plan().querySelector('.dialog-foot')!.checkVisibility()).toBe(false);
    const body = plan().querySelector('.dialog-body')!;
    expect(body.scrollHeight).toBeLessThanOrEqual(body.clientHeight);
    expect(plan().getBoundingClientRect().height).toBeGreaterThan(window.innerHeight);
  });

  it('fits a telephone: ten treadles across, and the draft above the list', async () => {
    await page.viewport(390, 844);
    const read = await readSamplePreset('signal-gamp');
    if (!read.ok) throw new Error(read.problems[0].message);
    await openPlan(read.value);
    const body = plan().querySelector('.dialog-body')!;
    expect(plan().querySelectorAll('.tie-up tr:last-child td')).toHaveLength(10);
    expect(body.scrollWidth).toBeLessThanOrEqual(body.clientWidth);
    const draft = plan().querySelector('.plan-draft')!.getBoundingClientRect();
    const list = plan().querySelector('section[aria-label="Picks"] > p')!.getBoundingClientRect();
    expect(list.top).toBeGreaterThanOrEqual(draft.bottom);
  });

  it('tells the beat that wanted picks need, the second beam and the arc, and takes a stopped forecast up again', async () => {
    const small = smallSample();
    const beat = { ...small.beat, fixedPicksPerCm: 7, weftArcMm: 20 };
    await openPlan({ ...small, beat, warp: { ...small.warp, secondBeam: { ends: '0 x2, 1', slackPercent: 10 } } });
    expect(said()).toContain('0 x2, 1 (1 is an end on it; begins again until the ends run out), let off 10 % longer');
    expect(said()).toContain('in an arc 2 cm high');
    // 0.4 where the sample has 0.7.
    expect(said()).toContain('beat softer than the rest by 30 % of the firmest');
    await laid.table.forecast.settled();
    const { firmnessNeeded } = laid.table.forecast.state.getState().result!.readings;
    const needed = formatNumber(100 * beatNeeded(small, firmnessNeeded!).firmness);
    await until('the beat is told', () =>
      said().includes(`picks wanted: 7 /cm; they need a beat of ${needed} % of the firmest`),
    );
    laid.table.samples.dispatch(setWarpTension(60));
    // Asked for as soon as this is done with.
    await Promise.resolve();
    laid.table.forecast.stop();
    await until('it is said to be stopped', () => said().includes('these sizes are of the cloth before'));
    expect(said()).not.toContain('they need');
    await userEvent.click(page.elementLocator(plan()).getByRole('button', { name: 'Go on' }));
    await until('it is settled', () => said().includes('they need a beat of'));
    expect(said()).not.toContain('Go on');
  });

  it('gives every time a box to tick, in tens, in rounds within rounds too', async () => {
    const small = smallSample();
    const woven = (lifts: number[][]) => lifts.map((lift, k) => ({ ...small.picks[k % 2], lift }));
    const squares = [...Array(6).fill([[1, 5], [2]]), ...Array(12).fill([[4], [7]])].flat();
    const plain = Array(60)
      .fill([
        [1, 3],
        [2, 4],
      ])
      .flat();
    await openPlan({ ...small, picks: woven([...plain, ...squares, ...squares]) });
    const boxes = [...plan().querySelectorAll('.plan-boxes')].map((each) =>
      each.textContent!.trim().replace(/☐+/g, (run) => String(run.length)),
    );
    expect(boxes).toEqual(['10 10 10 10 10 10', '2', '1: 6', '2: 6', '1: 10 2', '2: 10 2']);
  });

  it('points to picks written before, says what differs there, and writes them out when asked', async () => {
    const small = smallSample();
    const twill = [
      [1, 2],
      [2, 3],
      [3, 4],
      [1, 4],
    ];
    const striped = (yarn: string) =>
      Array.from({ length: 20 }, (_, k) => ({
        lift: twill[k % 4],
        passes: small.picks[k % 2].passes.map((pass) => ({ ...pass, strands: [yarn] })),
      }));
    await openPlan({ ...small, picks: [...striped('kelp'), ...striped('gull')] });
    const again = () => [...plan().querySelectorAll('.plan-again')].map(({ textContent }) => textContent!.trim());
    expect(again()).toEqual(['Picks 21–40: as picks 1–4, 5 times, with B in place of A ☐☐☐☐☐']);
    const picks = () => [...plan().querySelectorAll('.plan-picks tbody th')].map(({ textContent }) => textContent);
    expect(picks()).toEqual(['1', '2', '3', '4']);
    const inFull = page.getByRole('checkbox', { name: 'Write out in full what comes again later' }).element();
    await userEvent.click(inFull);
    await until('they are written out', () => again().length === 0);
    expect(picks()).toEqual(['1', '2', '3', '4', '21', '22', '23', '24']);
    await inMedia('print');
    expect(inFull.checkVisibility()).toBe(false);
    const body = plan().querySelector<HTMLElement>('.dialog-body')!;
    body.focus({ focusVisible: true } as FocusOptions);
    expect(getComputedStyle(body).outlineStyle).toBe('none');
  });

  it('draws the draft black on white beside the list, narrow enough for paper', async () => {
    const read = await readSamplePreset('net-store-towel');
    if (!read.ok) throw new Error(read.problems[0].message);
    await openPlan(read.value);
    const canvas = plan().querySelector<HTMLCanvasElement>('.plan-draft canvas')!;
    // One repeat of the draw 1-5 4-2.
    expect(canvas.getAttribute('aria-label')).toMatch(/ends 1 to 8,/);
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    const greys = new Set<number>();
    let [black, coloured] = [0, 0];
    for (let at = 0; at < data.length; at += 4) {
      if (data[at] !== data[at + 1] || data[at] !== data[at + 2] || data[at + 3] !== 255) coloured++;
      greys.add(data[at]);
      if (data[at] === 0) black++;
    }
    expect(coloured).toBe(0);
    expect(Math.min(...greys)).toBe(0);
    expect(Math.max(...greys)).toBe(255);
    expect(black).toBeGreaterThan(0.02 * canvas.width * canvas.height);
    await inMedia('print');
    await page.viewport(680, 1009);
    const box = canvas.getBoundingClientRect();
    expect(box.right).toBeLessThanOrEqual(680);
    // The list beside it, not below.
    expect(plan().querySelector('.plan-picks')!.getBoundingClientRect().top).toBeLessThan(box.bottom);
  });
});
