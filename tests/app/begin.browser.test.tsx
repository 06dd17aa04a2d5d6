import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { toClothProblem } from '#document/toClothProblem.ts';
import { warpedLoomOf } from '#document/warpedLoom.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until, withoutWebGl2 } from './layTable.tsx';
import { violations } from './violations.ts';

let laid: LaidTable;
let giveBack: () => void;
const sample = () => laid.table.samples.state.getState().sample;
const dialog = () => document.querySelector<HTMLElement>('.begin-dialog');
const inside = () => page.elementLocator(dialog()!);
const labelled = (name: string) =>
  [...dialog()!.querySelectorAll('select')].find(({ labels }) => labels[0].textContent!.startsWith(name))!;
const weaveList = () => labelled('Weave');
/** Its label holds the list's words, which change while the library is looked through: no name to find it by for long. */
const chooseWeave = (id: string) => {
  const list = weaveList();
  list.value = id;
  list.dispatchEvent(new Event('change', { bubbles: true }));
};
// A label that holds a list holds the list's words too.
const loomList = () => page.elementLocator(dialog()!.querySelector('select')!);
const open = async () => {
  await userEvent.click(page.getByRole('button', { name: 'Begin…' }));
  await until('the room is looked into', () => (dialog()?.querySelectorAll('.begin-warp').length ?? 0) > 1);
};

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en-GB';
  await page.viewport(1280, 900);
  giveBack = withoutWebGl2();
  laid = await layTable(smallSample());
  await until('the page is laid', () => page.getByRole('button', { name: 'Begin…' }).query() !== null);
});

afterEach(async () => {
  await laid.clear();
  giveBack();
});

describe('a new sample', () => {
  it('begins on another loom of the room with a warp that is on it, in plain weave; undo brings the last one back', async () => {
    const before = sample();
    await open();
    await userEvent.selectOptions(loomList(), 'q24');
    await userEvent.click(inside().getByRole('radio', { name: /hemp/ }));
    await until('its yarns are there', () => dialog()!.textContent!.includes('plain weave'));
    expect(await violations('.begin-dialog')).toEqual([]);
    await userEvent.click(inside().getByRole('button', { name: 'Begin', exact: true }));
    await until('it is on the table', () => dialog() === null);
    expect(sample().loom.id).toBe('q24');
    expect(sample().warp.id).toBe('hemp');
    const { drawdown } = toClothProblem(sample()).problem;
    expect([0, 1, 2, 3].map((end) => isWarpUp(drawdown, 0, end))).toEqual([true, false, true, false]);
    expect(document.querySelector('.loom-line')?.textContent).toContain('Q24');
    laid.table.samples.undo();
    expect(sample()).toEqual(before);
  });

  it('tells the draw that it will use, what each treadle lifts and what stays, before it is begun', async () => {
    await open();
    await userEvent.selectOptions(loomList(), 'p8');
    await userEvent.click(inside().getByRole('radio', { name: /tarred twine/ }));
    await until('the warp is told', () => dialog()!.querySelector('.warp-words') !== null);
    const told = dialog()!.querySelector('.warp-words')!.textContent!;
    // As presets/warps/tarred-twine.json has them: a point draw on eight, ten treadles, on the loom for good.
    expect(told).toContain('1-8 7-2 x5, 1');
    expect(told).toContain('1: 1 3 5 7;');
    expect(told).toContain('10: 1 2 3 8.');
    expect(told).toContain('Draw, tie-up and sett stay as they are: treadling, wefts and beat are yours to choose');
    await userEvent.selectOptions(loomList(), 'q24');
    await until('no treadles are told', () => dialog()!.textContent!.includes('there is no tie-up'));
  });

  it('begins in a weave of the library, on a draw that weaves it, with a weft for each sort of its picks', async () => {
    await open();
    await userEvent.selectOptions(loomList(), 'q24');
    await userEvent.click(inside().getByRole('radio', { name: 'A warp of your own' }));
    await until('the library is there', () => weaveList().options.length > 1);
    expect(weaveList().selectedOptions[0].textContent).toMatch(/^plain, 2 shafts/);
    chooseWeave('double-plain');
    await until('it is told', () => dialog()!.textContent!.includes('begins in double plain'));
    expect(dialog()!.textContent).toContain('It falls into 2 layers that nothing joins.');
    await userEvent.selectOptions(labelled('Weft, back'), 'linen-16-2');
    await userEvent.click(inside().getByRole('button', { name: 'Begin', exact: true }));
    await until('it is on the table', () => dialog() === null);
    expect(layersOf(toClothProblem(sample()).problem.drawdown).count).toBe(2);
    expect(
      sample()
        .picks.map(({ passes }) => passes[0].strands[0])
        .slice(0, 2),
    ).toEqual(['cotton-8-2', 'linen-16-2']);
  });

  it('says which weaves a warp on its loom cannot weave, and why; and draws in a warp that may be', async () => {
    await open();
    await userEvent.selectOptions(loomList(), 'p8');
    await userEvent.click(inside().getByRole('radio', { name: /tarred twine/ }));
    await until('the library is looked through', () =>
      [...weaveList().options].every(({ textContent }) => textContent!.includes(':')),
    );
    // Ten ends apart from each other take ten shafts, whatever the satin (common practice).
    chooseWeave('sateen-10');
    expect(weaveList().selectedOptions[0].textContent).toBe('10-end sateen, 10 shafts: cannot');
    await until('it is told', () => /10-end sateen cannot: /.test(dialog()!.textContent!));
    expect(dialog()!.textContent).toContain('Threaded for it, it takes 10 shafts; P8, pilot house has 8.');
    expect(inside().getByRole('button', { name: 'Begin', exact: true })).toBeDisabled();
    await userEvent.click(inside().getByRole('radio', { name: 'A warp of your own' }));
    // Fourteen ends of a point on eight shafts: straight over eight it does not come out.
    chooseWeave('waffle-8');
    await until('it is drawn in', () => dialog()!.textContent!.includes('The warp is drawn in for waffle on eight'));
    await userEvent.click(inside().getByRole('button', { name: 'Begin', exact: true }));
    await until('it is on the table', () => dialog() === null);
    expect([...warpedLoomOf(sample()).threading.slice(0, 14)].filter((shaft) => shaft === 8)).toHaveLength(1);
    expect(standingOn(warpedLoomOf(sample()), structureOf({ rule: 'waffle', shafts: 8 })).kind).toBe('here');
  });

  it('leaves a warp of the room as it is drawn in until she asks, then tells it as it will be', async () => {
    await open();
    await userEvent.selectOptions(loomList(), 'p8');
    await userEvent.click(inside().getByRole('radio', { name: /signal stripes/ }));
    await until('the library is there', () => weaveList().options.length > 1);
    chooseWeave('sateen-5');
    const threading = inside().getByRole('checkbox', { name: /Thread\s+the warp for it/ });
    const told = () => dialog()!.querySelector('.warp-words')!.textContent!;
    await until('the weave is told', () => dialog()!.textContent!.includes('5-end sateen cannot: '));
    expect(inside().getByRole('button', { name: 'Begin', exact: true })).toBeDisabled();
    expect(threading).not.toBeChecked();
    expect(weaveList().selectedOptions[0].textContent).not.toContain('threaded for it');
    // As presets/warps/signal-stripes.json has it.
    expect(told()).toContain('1-8 x12');
    expect(told()).toContain('3 to 6 2/2 twill');
    await userEvent.click(threading);
    await until('it is drawn in', () => dialog()!.textContent!.includes('The warp is drawn in for 5-end sateen'));
    // 96 ends straight over five shafts: nineteen times, and one more.
    expect(told()).toContain('1-5 x19, 1');
    expect(told()).not.toContain('1: 1 3 5 7;');
    expect(told()).not.toContain('twill');
    await userEvent.click(inside().getByRole('button', { name: 'Begin', exact: true }));
    await until('it is on the table', () => dialog() === null);
    expect(sample().warp).toMatchObject({ id: 'signal-stripes', threading: '1-5 x19, 1' });
    expect(sample().warp.notes).toBeUndefined();
  });

  it('begins on a warp of her own, says why a width cannot be, and keeps names apart', async () => {
    await open();
    await userEvent.selectOptions(loomList(), 'p8');
    await userEvent.click(inside().getByRole('radio', { name: 'A warp of your own' }));
    await userEvent.fill(inside().getByLabelText('Ends', { exact: true }), '4000');
    await until('it says that the loom is too narrow', () =>
      /wide/.test(dialog()?.querySelector('.trouble')?.textContent ?? ''),
    );
    await userEvent.fill(inside().getByLabelText('Ends', { exact: true }), '64');
    await userEvent.fill(inside().getByLabelText('Name', { exact: true }), 'fog bank');
    await userEvent.click(inside().getByRole('button', { name: 'Begin', exact: true }));
    await until('it is on the table', () => dialog() === null);
    expect(sample()).toMatchObject({ name: 'fog bank 2', loom: { id: 'p8' }, warp: { ends: 64 } });
    expect(sample().warp.tieUp).toHaveLength(10);
  });
});
