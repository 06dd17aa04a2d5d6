import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { sampleFromFile } from '#document/sampleFromFile.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { smallSampleFile } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';
import { violations } from './violations.ts';

/** Eight-end sateen, two repeats up and three across: weft floats over seven ends at 8 ends a cm. */
function sateen(): Sample {
  const file = smallSampleFile();
  file.versions = [];
  file.picks = Array.from({ length: 16 }, (_, k) => ({
    lift: [((3 * k) % 8) + 1],
    passes: [{ strands: ['kelp'], enters: k % 2 === 0 ? 'left' : 'right', ends: 'selvedge' }],
  }));
  const outcome = sampleFromFile(file);
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  return outcome.value;
}

let laid: LaidTable;
const sample = () => laid.table.samples.state.getState().sample;
const part = (legend: string) =>
  [...document.querySelectorAll<HTMLElement>('.checks fieldset')].find((each) =>
    each.querySelector('legend')?.textContent?.startsWith(legend),
  ) as HTMLElement;
const items = () => [...document.querySelectorAll<HTMLElement>('.findings li')];
const button = (within: Element, words: string) =>
  [...within.querySelectorAll('button')].find(({ textContent }) => textContent?.startsWith(words))!;
const settled = () => until('it is settled', () => laid.table.forecast.state.getState().status === 'settled');

async function choose(within: HTMLElement, name: string, value: string): Promise<void> {
  const label = [...within.querySelectorAll('label')].find(({ textContent }) => textContent?.startsWith(name))!;
  await userEvent.selectOptions(label.querySelector('select')!, value);
}

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en-GB';
  await page.viewport(1280, 800);
  laid = await layTable(sateen());
  await settled();
  await userEvent.keyboard('x');
  await until('the findings are there', () => items().length > 0);
});

afterEach(async () => {
  await laid.clear();
});

describe('checks', () => {
  it('hold floats to the use, say where, and lead to the place on the cloth and its picks', async () => {
    expect(items().some(({ textContent }) => /floats? too long/.test(textContent!))).toBe(false);
    await choose(part('Checks'), 'For', 'upholstery');
    expect(sample().use).toEqual({ kind: 'upholstery' });
    await until('floats are told of', () =>
      items().some(({ textContent }) => /weft floats too long on the face/.test(textContent!)),
    );
    const item = items().find(({ textContent }) => /weft floats too long on the face/.test(textContent!))!;
    expect(item.textContent).toMatch(/over 7 ends, against 3(\.0+)? mm/);
    await userEvent.click(item.querySelector('button')!);
    const { marked, selection } = laid.table.ui.getState();
    expect(selection).toMatchObject({ kind: 'picks' });
    const { geometry } = laid.table.forecast.state.getState().result!;
    const row = selection!.range.from;
    expect(marked!.minYMm).toBeLessThan(geometry.rowYMm[row]);
    expect(marked!.maxYMm).toBeGreaterThan(geometry.rowYMm[row]);
    // Her own limit is kept with the sample, and lets them pass.
    await userEvent.fill(part('Checks').querySelector('input[type=number]')!, '40');
    await until('they pass', () => !items().some(({ textContent }) => /too long/.test(textContent!)));
    expect(sample().use).toEqual({ kind: 'upholstery', floatLimitMm: 40 });
  });

  it('the panel has no barrier that axe finds', async () => {
    expect(await violations()).toEqual([]);
  });
});

describe('what a loom can weave', () => {
  it('says that another loom cannot, shows the nearest, and takes it there in one undoable step', async () => {
    await choose(part('What a loom'), 'Try', 'weave twill-2-2');
    await until('it is answered', () => /weaves here as it is/.test(part('What a loom').textContent!));
    await userEvent.click(button(part('What a loom'), 'Weave it'));
    expect(sample().picks[0].lift).toHaveLength(4);
    expect(sample().picks).toHaveLength(16);
    laid.table.samples.undo();
    expect(sample().picks[0].lift).toEqual([1]);
    await choose(part('What a loom'), 'Try', 'warp tar-and-sand');
    await until('it is answered', () => /cannot be woven on Q16/.test(part('What a loom').textContent!));
    expect(part('What a loom').textContent).toMatch(/crossings \(.*%\) differ.*In the way: ends? 1/);
    await userEvent.click(button(part('What a loom'), 'Weave the nearest'));
    expect([sample().loom.id, sample().warp.id, sample().warp.ends]).toEqual(['q16', 'tar-and-sand', 384]);
    laid.table.samples.undo();
    expect([sample().loom.id, sample().warp.ends]).toEqual(['jetty', 24]);
  });

  it('weaves the back uppermost, and back again is the same cloth', async () => {
    const before = sample();
    await userEvent.click(button(part('What a loom'), 'How many treadles'));
    // One end up a pick: no treadle serves two of eight lifts.
    await until('it is told', () => /8 treadles.*no tie-up has fewer\./.test(part('What a loom').textContent!));
    await userEvent.click(button(part('What a loom'), 'Weave the other side up'));
    expect(sample().picks[15].lift).toEqual([2, 3, 4, 5, 6, 7, 8]);
    expect(sample().hungThisWayUp).toBe('firstPickAbove');
    await userEvent.click(button(part('What a loom'), 'Weave the other side up'));
    expect(sample().picks).toEqual(before.picks);
    expect(sample().hungThisWayUp).toBe(before.hungThisWayUp);
  });
});

describe('what if', () => {
  it('weaves a skipped end beside the sample, and says from where it is noticed and what it costs', async () => {
    const within = part('What if');
    const [pick, end] = within.querySelectorAll('input');
    await userEvent.fill(pick, '9');
    await userEvent.fill(end, '12');
    await userEvent.click(button(within, 'Weave it beside'));
    expect(sample().versions.map(({ name }) => name)).toEqual(['What if: end 12 skipped at pick 9']);
    expect(laid.table.ui.getState()).toMatchObject({ shown: 'kept', beside: ['What if: end 12 skipped at pick 9'] });
    await until('its distance is told', () => /Noticed from|hardly noticed/.test(part('What if').textContent!));
    expect(part('What if').textContent).toMatch(/8 picks are taken back/);
    await until('it is forecast', () => laid.table.kept.getState().cloths[0]?.result !== undefined);
  });
});

describe('faults of the loom', () => {
  it('are noted and struck off on the page, and are in the next cloth woven there', async () => {
    const before = sample();
    const faults = part('Known of');
    await userEvent.fill(faults.querySelector('input[type=number]')!, '3');
    await userEvent.fill(faults.querySelector('input[type=text]')!, 'cord worn');
    await userEvent.click(button(faults, 'Note it'));
    expect(sample().loom.knownFaults).toEqual([{ shaft: 3, effect: 'staysDown', note: 'cord worn' }]);
    expect(part('Known of').textContent).toContain('shaft 3 stays down (cord worn), in every cloth woven here');
    await laid.table.layNew({ ...before, name: 'the next' });
    expect(sample().loom.knownFaults).toHaveLength(1);
    const { drawdown } = toClothProblem(sample()).problem;
    // Straight draw: end 3 is on shaft 3.
    for (let row = 0; row < drawdown.rows; row++) expect(isWarpUp(drawdown, row, 2)).toBe(false);
    await userEvent.click(button(part('Known of'), 'Mended'));
    expect(sample().loom.knownFaults).toBeUndefined();
    laid.table.samples.undo();
    expect(sample().loom.knownFaults).toHaveLength(1);
  });
});
