import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { setBeat } from '#document/commands/beatCommands.ts';
import { writeSampleText } from '#io/sampleFile.ts';
import { smallSample, smallSampleFile } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;

const sampleNow = () => laid.table.samples.state.getState().sample;
const notice = () => document.querySelector('.notice')!.textContent ?? '';
const savedWords = () =>
  [...document.querySelectorAll('[aria-label=Sample] .saved-word')].map(({ textContent }) => textContent).join('');

beforeEach(async () => {
  await page.viewport(900, 620);
  laid = await layTable(smallSample());
  await until('the page is there', () => document.querySelector('.bottom-edge') !== null);
});

afterEach(async () => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  await laid.clear();
});

describe('files on the table', () => {
  it('a wrong file is refused with its name, the place and the reason, and nothing changes', async () => {
    const before = sampleNow();
    const wrong = smallSampleFile();
    wrong.beat.firmness = 7;
    const files = [
      new File(['{ "format":'], 'torn.json'),
      new File([JSON.stringify(wrong)], 'wrong.json'),
      new File([JSON.stringify({ ...smallSampleFile(), version: 999 })], 'newer.json'),
      new File([Uint8Array.of(0xff, 0xd8)], 'gulls.jpg'),
      new File([Uint8Array.of(7, 0, 7)], 'kelp.bin'),
    ];
    for (const file of files) {
      await laid.table.readFile(file);
      await until('the reason is told', () => notice().startsWith(`${file.name} was not opened.`));
      expect(notice().split(file.name)).toHaveLength(2);
      expect(sampleNow()).toBe(before);
    }
    await laid.table.readFile(files[1]);
    await until('the place is told', () => notice().includes('firmness'));
  });

  it('a right file comes onto the table, and undo brings back what was there', async () => {
    const before = sampleNow();
    const other = { ...smallSample(), name: 'breakwater' };
    await laid.table.readFile(new File([writeSampleText(other)], 'breakwater.forecloth.json'));
    expect(sampleNow().name).toBe('breakwater');
    await until('the page is named after it', () => document.title.startsWith('breakwater'));
    laid.table.samples.undo();
    expect(sampleNow()).toEqual(before);
  });

  it('says in words that nothing is kept where the browser keeps nothing', async () => {
    expect(savedWords()).toContain('Saved');
    laid.table.samples.dispatch(setBeat({ firmness: 0.5 }));
    await until('the trouble is told', () => savedWords().includes('Save to a file'));
  });

  it('saves as a download, and says so, in a browser that shows no dialog', async () => {
    // This one is driven without a desktop: its own picker calls itself off.
    const made = vi.spyOn(URL, 'createObjectURL');
    await userEvent.click(page.getByRole('button', { name: 'Save…', exact: true }));
    await until('it is told', () => notice().startsWith('Downloaded as quay-edge.forecloth.json'));
    expect(await (made.mock.calls[0][0] as Blob).text()).toBe(writeSampleText(sampleNow()));
  });

  it('saves again to the same file, but never another sample into it', async () => {
    const written: string[] = [];
    let asked = 0;
    vi.stubGlobal('showSaveFilePicker', async () => {
      const file = `file ${++asked}`;
      const write = async (text: string) => void written.push(`${file}: ${JSON.parse(text).name}`);
      return { createWritable: async () => ({ write, close: async () => {} }) };
    });
    await laid.table.readFile(
      new File([writeSampleText({ ...smallSample(), name: 'breakwater' })], 'breakwater.forecloth.json'),
    );
    await laid.table.saveFile();
    await laid.table.saveFile();
    laid.table.samples.undo();
    await laid.table.saveFile();
    expect(written).toEqual(['file 1: breakwater', 'file 1: breakwater', `file 2: ${sampleNow().name}`]);
  });

  it('asks for another place after one that could not be written', async () => {
    let asked = 0;
    vi.stubGlobal('showSaveFilePicker', async () => {
      asked++;
      return { createWritable: () => Promise.reject(new Error('disk full')) };
    });
    await laid.table.saveFile();
    await until('the reason is told', () => notice().includes('disk full'));
    await laid.table.saveFile();
    expect(asked).toBe(2);
  });

  it('a ready sample can be chosen by name', async () => {
    const chooser = document.querySelector<HTMLSelectElement>('[aria-label=Sample] select')!;
    const names = [...chooser.options].map((option) => option.textContent);
    for (const name of ['signal gamp', 'channel buoy', 'mooring ring']) expect(names).toContain(name);
    await laid.table.takeReady('signal-gamp');
    expect(sampleNow().name).toBe('signal gamp');
    await until('the loom is named', () => document.querySelector('.loom-line')!.textContent!.includes('P8'));
  });
});
