import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { cdp, page, userEvent } from 'vitest/browser';
import { readSamplePreset } from '#io/presets.ts';
import { type LaidTable, layTable, until, withoutWebGl2 } from './layTable.tsx';

let laid: LaidTable;
let giveBack: () => void;
const plan = () => document.querySelector<HTMLElement>('.weaving-plan')!;
const inMedia = (media: 'print' | '') =>
  (cdp() as unknown as { send(what: string, how: object): Promise<void> }).send('Emulation.setEmulatedMedia', {
    media,
  });

beforeEach(async () => {
  localStorage.clear();
  await page.viewport(1280, 800);
  giveBack = withoutWebGl2();
  const read = await readSamplePreset('tarred-rope');
  if (!read.ok) throw new Error(read.problems[0].message);
  laid = await layTable(read.value);
  await until('the page is laid', () => page.getByRole('button', { name: 'Plan…' }).query() !== null);
});

afterEach(async () => {
  await inMedia('');
  await laid.clear();
  giveBack();
});

describe('the weaving plan', () => {
  it('takes loom, tie-up, wefts and picks to paper, by themselves and whole', async () => {
    await userEvent.click(page.getByRole('button', { name: 'Plan…' }));
    await until('it is open', () => document.querySelector('.weaving-plan[open] .plan-picks') !== null);
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
      'A ←, then D → ends 22–50, cut at both ends, tails folded behind',
    ]);
    await inMedia('print');
    expect(document.querySelector('.table')!.checkVisibility()).toBe(false);
    expect(plan().querySelector('.dialog-foot')!.checkVisibility()).toBe(false);
    const body = plan().querySelector('.dialog-body')!;
    expect(body.scrollHeight).toBeLessThanOrEqual(body.clientHeight);
    expect(plan().getBoundingClientRect().height).toBeGreaterThan(window.innerHeight);
  });
});
