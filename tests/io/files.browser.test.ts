import { afterEach, expect, test, vi } from 'vitest';
import { acceptDroppedFiles, readSampleFile } from '#io/openFile.ts';
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
  vi.stubGlobal('showSaveFilePicker', async () => {
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
    reason: 'The file could not be written (disk full). Choose another place.',
  });
  expect(aborted).toHaveBeenCalledOnce();
});

test('without a file picker the sample is downloaded', async () => {
  vi.stubGlobal('showSaveFilePicker', undefined);
  const made: Blob[] = [];
  vi.spyOn(URL, 'createObjectURL').mockImplementation((blob) => {
    made.push(blob as Blob);
    return 'blob:quay';
  });
  let clicked: HTMLAnchorElement | null = null;
  vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(function (this: HTMLAnchorElement) {
    clicked = this;
  });
  expect(await saveSampleFile(smallSample())).toEqual({ kind: 'downloaded' });
  expect(clicked!.download).toBe('quay-edge.forecloth.json');
  expect(await made[0].text()).toBe(writeSampleText(smallSample()));
});

test('a file from the disk is read, or refused by name', async () => {
  const good = await readSampleFile(new File([writeSampleText(smallSample())], 'quay.json'));
  expect(good).toEqual({ ok: true, value: smallSample() });
  const huge = new File([], 'film.mp4');
  Object.defineProperty(huge, 'size', { value: 3e9 });
  const refused = await readSampleFile(huge);
  expect(refused.ok ? '' : refused.problems[0].message).toMatch(/"film.mp4" is 3000 MB, larger than any sample/);
  const gone = new File([], 'gone.json');
  gone.text = () => Promise.reject(new DOMException('', 'NotFoundError'));
  const missing = await readSampleFile(gone);
  expect(missing.ok ? '' : missing.problems[0].message).toMatch(/"gone.json" could not be read/);
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
