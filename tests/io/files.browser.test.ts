import { afterEach, expect, test, vi } from 'vitest';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { writeDrawdownPng } from '#io/drawdownPng.ts';
import { writeSampleInterchange } from '#io/interchange/sampleInterchange.ts';
import { acceptDroppedFiles, readOpenedFile } from '#io/openFile.ts';
import { readYarnPreset } from '#io/presets.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { type SaveHandle, saveSampleFile } from '#io/saveFile.ts';
import { smallSample } from '#tests/document/smallSample.ts';

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
});

function fileHandle() {
  const written: string[] = [];
  const handle: SaveHandle = {
    createWritable: async () => {
      let text = '';
      return {
        write: async (part: string) => {
          text += part;
        },
        close: async () => {
          written.push(text);
        },
      };
    },
  };
  return { handle, written };
}

test('a file chosen once is written again without asking', async () => {
  const { handle, written } = fileHandle();
  const picker = vi.fn(async () => handle);
  vi.stubGlobal('showSaveFilePicker', picker);
  const first = await saveSampleFile(smallSample());
  expect(first).toEqual({ kind: 'saved', handle });
  if (first.kind === 'saved') await saveSampleFile({ ...smallSample(), name: 'second' }, first.handle);
  expect(picker).toHaveBeenCalledTimes(1);
  expect(picker).toHaveBeenCalledWith(expect.objectContaining({ suggestedName: 'quay-edge.forecloth.json' }));
  expect(written.map((text) => readSampleText(text).ok)).toEqual([true, true]);
  expect(written[1]).toContain('"name": "second"');
});

test('a choice called off is silent, and a failure has a reason', async () => {
  // A dialog takes the focus from the page; one that was never there is called off too, see below.
  vi.stubGlobal('showSaveFilePicker', async () => {
    window.dispatchEvent(new Event('blur'));
    throw new DOMException('', 'AbortError');
  });
  expect(await saveSampleFile(smallSample())).toEqual({ kind: 'cancelled' });
  const aborted = vi.fn(async () => {});
  const full: SaveHandle = {
    createWritable: async () => ({
      write: async () => {
        throw new Error('disk full');
      },
      close: async () => {},
      abort: aborted,
    }),
  };
  expect(await saveSampleFile(smallSample(), full)).toEqual({
    kind: 'failed',
    reason: 'The file could not be written (disk full). Save again and choose another place.',
  });
  expect(aborted).toHaveBeenCalledOnce();
  const barred: SaveHandle = {
    createWritable: async () => {
      throw new DOMException('blocked as unsafe', 'AbortError');
    },
  };
  expect(await saveSampleFile(smallSample(), barred)).toMatchObject({ kind: 'failed' });
});

const pickers: readonly (readonly [string, undefined | (() => Promise<SaveHandle>)])[] = [
  ['has no file picker', undefined],
  ['forbids it here', () => Promise.reject(new DOMException('Cross origin', 'SecurityError'))],
  ['shows no dialog', () => Promise.reject(new DOMException('The user aborted a request.', 'AbortError'))],
];

test.each(pickers)('where the browser %s the sample is downloaded', async (_, picker) => {
  vi.stubGlobal('showSaveFilePicker', picker);
  const made: Blob[] = [];
  vi.spyOn(URL, 'createObjectURL').mockImplementation((blob) => {
    made.push(blob as Blob);
    return 'blob:quay';
  });
  let clicked: HTMLAnchorElement | null = null;
  vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(function (this: HTMLAnchorElement) {
    clicked = this;
  });
  expect(await saveSampleFile(smallSample())).toEqual({
    kind: 'downloaded',
    name: 'quay-edge.forecloth.json',
  });
  expect(clicked!.download).toBe('quay-edge.forecloth.json');
  expect(await made[0].text()).toBe(writeSampleText(smallSample()));
});

const cotton = () => readYarnPreset('cotton-8-2');
const refusalOf = async (file: File) => {
  const outcome = await readOpenedFile(file, cotton);
  return outcome.ok ? '' : outcome.problems[0].message;
};

test('a file from the disk is read, or refused', async () => {
  const good = await readOpenedFile(new File([writeSampleText(smallSample())], 'quay.json'), cotton);
  expect(good).toEqual({ ok: true, value: { kind: 'sample', sample: smallSample(), remarks: [] } });
  const huge = new File([], 'film.mp4');
  Object.defineProperty(huge, 'size', { value: 3e9 });
  expect(await refusalOf(huge)).toMatch(/^This document is 3000 MB, larger than any sample/);
  const gone = new File([], 'gone.json');
  gone.arrayBuffer = () => Promise.reject(new DOMException('', 'NotFoundError'));
  expect(await refusalOf(gone)).toMatch(/^This document could not be read/);
});

test('drafts for exchange and drawdown pictures are told by what they hold', async () => {
  const text = writeSampleInterchange(smallSample());
  if (!text.ok) throw new Error('not written');
  const draft = await readOpenedFile(new File([`; from the quay\r\n${text.value}`], 'quay'), cotton);
  expect(draft).toEqual({ ok: true, value: { kind: 'sample', sample: smallSample(), remarks: [] } });
  // An older program's file, whose letters are not UTF-8.
  const old = Uint8Array.from(
    `[WIF]\r\nVersion=1.1\r\nDevelopers=x\r\n[CONTENTS]\r\n[TEXT]\r\nTitle=Gr\u00fcn\r\n[WEAVING]\r\nShafts=1\r\n[WARP]\r\nThreads=1\r\n[WEFT]\r\nThreads=1\r\n[THREADING]\r\n1=1\r\n[LIFTPLAN]\r\n1=1\r\n`,
    (character) => character.charCodeAt(0),
  );
  expect(await readOpenedFile(new File([old], 'old.wif'), cotton)).toMatchObject({
    ok: true,
    value: { sample: { name: 'Grün' } },
  });
  const drawdown = drawdownFromRows([[1, 0, 1]]);
  const png = await readOpenedFile(new File([writeDrawdownPng(drawdown)], 'net.png'), cotton);
  expect(png).toEqual({ ok: true, value: { kind: 'drawdown', read: { drawdown, tones: 2 } } });
  expect(await refusalOf(new File([writeDrawdownPng(drawdown).subarray(0, 50)], 'cut.png'))).toMatch(/damaged PNG/);
});

test('a file dropped anywhere is taken and never opened by the browser; other drags pass', () => {
  const dropped: string[] = [];
  const stop = acceptDroppedFiles(window, (file) => dropped.push(file.name));
  const drag = (type: string, data: DataTransfer) => {
    const event = new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: data });
    document.body.dispatchEvent(event);
    return event.defaultPrevented;
  };
  const withFile = new DataTransfer();
  withFile.items.add(new File(['{}'], 'quay.json'));
  expect(drag('dragover', withFile)).toBe(true);
  expect(drag('drop', withFile)).toBe(true);
  expect(dropped).toEqual(['quay.json']);

  const withYarn = new DataTransfer();
  withYarn.setData('text/plain', 'kelp');
  expect(drag('dragover', withYarn)).toBe(false);
  expect(drag('drop', withYarn)).toBe(false);
  stop();
  expect(drag('drop', withFile)).toBe(false);
  expect(dropped).toHaveLength(1);
});
