import { PNG } from 'pngjs/browser';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { sideOf } from '#app/model/pose.ts';
import { gapPx, MM_PER_INCH, rulerHeightPx } from '#app/still/sheetPlan.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;
let downloads: { name: string; file: Blob }[];
let contexts: WebGL2RenderingContext[];
const notice = () => document.querySelector('.notice')!.textContent!;

/** Dots an inch: the small cloth is then about 100 px wide. */
const DPI = 72;
const mmPerPx = MM_PER_INCH / DPI;

beforeAll(async () => {
  localStorage.clear();
  await page.viewport(300, 400);
  laid = await layTable(smallSample());
  await laid.automation.ready;
});

beforeEach(() => {
  downloads = [];
  contexts = [];
  const files: Blob[] = [];
  const createUrl = URL.createObjectURL.bind(URL);
  vi.spyOn(URL, 'createObjectURL').mockImplementation((file) => {
    files.push(file as Blob);
    return createUrl(file);
  });
  vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(function (this: HTMLAnchorElement) {
    downloads.push({ name: this.download, file: files[files.length - 1] });
  });
  const getContext = HTMLCanvasElement.prototype.getContext;
  vi.spyOn(HTMLCanvasElement.prototype, 'getContext').mockImplementation(function (
    this: HTMLCanvasElement,
    ...call: Parameters<typeof getContext>
  ) {
    const context = getContext.apply(this, call);
    if (context instanceof WebGL2RenderingContext) contexts.push(context);
    return context;
  } as typeof getContext);
});

afterEach(async () => {
  vi.restoreAllMocks();
  await userEvent.keyboard('{Escape}');
  await until('the dialog is closed', () => document.querySelector('.picture-dialog') === null);
});

afterAll(() => laid.clear());

/** The table behind has a *Light* of its own. */
const dialog = () => page.getByRole('dialog', { name: 'Save a picture' });

/** Opens the dialog by its key and asks for a small picture. */
async function ask(choices: Readonly<Record<string, string>>, dpi = String(DPI)): Promise<void> {
  await userEvent.keyboard('p');
  await until('the dialog is open', () => document.querySelector('.picture-dialog[open]') !== null);
  // What is held decides what else is asked.
  const flat = { Held: 'square', Side: 'both', Part: 'whole', Light: 'table', Drawn: '4' };
  const usual = ['draped', 'curled'].includes(choices.Held) ? { Drawn: '4' } : flat;
  for (const [name, value] of Object.entries({ ...usual, ...choices })) {
    await userEvent.selectOptions(dialog().getByRole('combobox', { name, exact: true }), value);
  }
  await page.getByRole('spinbutton', { name: 'Dots an inch' }).fill(dpi);
}

const sizeTold = () => document.querySelector('#picture-size')!.textContent!;
const soFar = () => document.querySelector<HTMLCanvasElement>('canvas.picture-so-far');
const drawButton = () => page.getByRole('button', { name: 'Draw and download' });
const pixelsTold = () =>
  /([\d,]+) × ([\d,]+) px/
    .exec(sizeTold())!
    .slice(1)
    .map((text) => Number(text.replace(',', '')));

async function saved(mostMs = 120_000): Promise<{ png: PNG; bytes: Uint8Array<ArrayBuffer> }> {
  await until('it is downloaded', () => downloads.length > 0, mostMs);
  const bytes = new Uint8Array(await downloads[0].file.arrayBuffer());
  const png = await new Promise<PNG>((resolve, reject) => {
    new PNG().parse(bytes as unknown as Buffer, (error, read) => (error ? reject(error) : resolve(read)));
  });
  return { bytes, png };
}

/** Whether a pixel is the ground's grey, within rounding. */
function isGround(png: PNG, x: number, y: number): boolean {
  const at = (y * png.width + x) * 4;
  return [0, 1, 2].every((k) => Math.abs(png.data[at + k] - png.data[k]) <= 2);
}

describe('a picture saved from the table', () => {
  it('shows both sides at true scale with a ruler, of the size told, while the table stays in use', async () => {
    await ask({});
    const [width, height] = pixelsTold();
    await userEvent.click(drawButton());
    await until('the dialog is gone', () => document.querySelector('.picture-dialog') === null);
    await userEvent.keyboard('t');
    await until('the table has turned over', () => sideOf(laid.table.ui.getState().pose) === 'back');
    const { bytes, png } = await saved();
    expect(downloads[0].name).toBe('quay-edge-face-and-back-72dpi.png');
    expect([png.width, png.height]).toEqual([width, height]);
    // pHYs after the signature and the header (ISO/IEC 15948, 11.3.5.3): pixels a metre both ways, unit metre.
    const view = new DataView(bytes.buffer);
    expect(String.fromCharCode(...bytes.subarray(37, 41))).toBe('pHYs');
    expect([view.getUint32(41), view.getUint32(45), bytes[49]]).toEqual([2835, 2835, 1]);

    const ruler = rulerHeightPx(mmPerPx);
    const pictureWidth = (width - gapPx(mmPerPx)) / 2;
    const readings = laid.automation.forecast!.readings;
    expect(pictureWidth * mmPerPx).toBeGreaterThan(readings.widthMm.value);
    const middle = Math.round((height - ruler) / 2);
    let clothLeft = 0;
    let clothRight = 0;
    let alike = 0;
    for (let x = 0; x < pictureWidth; x++) {
      const right = x + pictureWidth + gapPx(mmPerPx);
      if (!isGround(png, x, middle)) clothLeft++;
      if (!isGround(png, right, middle)) clothRight++;
      const [a, b] = [(middle * width + x) * 4, (middle * width + right) * 4];
      if ([0, 1, 2].every((k) => png.data[a + k] === png.data[b + k])) alike++;
    }
    for (const cloth of [clothLeft, clothRight]) {
      // Gaps show the ground, turns reach beyond the outermost ends.
      expect(cloth * mmPerPx).toBeGreaterThan(0.5 * readings.widthMm.value);
      expect(cloth * mmPerPx).toBeLessThan(1.3 * readings.widthMm.value);
    }
    expect(alike).toBeLessThan(0.7 * pictureWidth);
    // At this scale the ruler has a mark every half cm and a long one every 5: halfway down it only those are dark.
    const dark: number[] = [];
    for (let x = 0; x < width; x++) {
      const at = ((height - ruler + Math.floor(0.44 * ruler)) * width + x) * 4;
      if (png.data[at] < 120) dark.push(x);
    }
    const long = dark.filter((x, k) => k === 0 || x > dark[k - 1] + 1);
    expect(long).toEqual([0, Math.round(50 / mmPerPx)]);
  });

  it("is asked for quick, in the reader's own unit, and leaves the cloth on the table as large as it was", async () => {
    await userEvent.keyboard('p');
    await until('the dialog is open', () => document.querySelector('.picture-dialog[open]') !== null);
    expect(sizeTold()).toMatch(/ × [\d.]+ cm$/);
    laid.table.ui.getState().prefer({ lengthSystem: 'inch' });
    await until('it is told in inches', () => / × [\d.]+ in$/.test(sizeTold()));
    expect(document.querySelector('.picture-dialog')!.textContent).toContain('Ruler below, in inches');
    laid.table.ui.getState().prefer({ lengthSystem: 'cm' });
    await userEvent.keyboard('{Escape}');
    await until('the dialog is closed', () => document.querySelector('.picture-dialog') === null);
    await ask({ Drawn: '64' }, '150');
    await laid.automation.whenSettled();
    const { panel } = laid.table.ui.getState();
    const view = laid.automation.view!;
    const step = vi.spyOn(view, 'step');
    await userEvent.click(drawButton());
    await until('it is under way', () => document.querySelector('progress')!.value > 0.02);
    // The cloth rests as it was: nothing of it is drawn, and nothing has moved.
    expect(step).not.toHaveBeenCalled();
    expect(laid.table.ui.getState().panel).toBe(panel);
    expect(laid.table.ui.getState().picture).toBe('settled');
    await userEvent.click(page.getByRole('button', { name: 'Stop', exact: true }));
    await until('it is told', () => notice().includes('stopped'));
  });

  it('takes the turn and the part that the table shows', async () => {
    await userEvent.keyboard('2');
    await ask({ Held: 'asNow', Part: 'inView', Side: 'back' });
    const { pose, size } = laid.table.ui.getState();
    expect(pixelsTold()[0]).toBe(Math.round((size.widthPx * pose.mmPerPx) / mmPerPx));
    await userEvent.click(drawButton());
    const { png } = await saved();
    expect(png.width).toBe(Math.round((size.widthPx * pose.mmPerPx) / mmPerPx));
    expect(downloads[0].name).toContain('back');
  });

  it('traces its paths where asked, coarsely at first, and drapes the cloth over an edge', async () => {
    await ask({ Held: 'draped' });
    const [width, height] = pixelsTold();
    await page.getByRole('spinbutton', { name: 'Radius, mm' }).fill('3');
    await userEvent.click(drawButton());
    await until('it shows as far as it has come', () => soFar() !== null, 120_000);
    expect(document.querySelector('progress')!.value).toBeLessThan(0.9);
    const coarse = soFar()!;
    const { png, bytes } = await saved(200_000);
    expect(downloads[0].name).toBe('quay-edge-over-3mm-72dpi.png');
    expect([png.width, png.height]).toEqual([width, height]);
    expect(coarse.width / coarse.height).toBeCloseTo(width / height, 1);
    // Of no one scale, so none is written into the file.
    expect(String.fromCharCode(...bytes.subarray(37, 41))).not.toBe('pHYs');
    // The cloth fills most of the width and leaves ground around it.
    const row = (y: number) => Array.from({ length: width }, (_, x) => !isGround(png, x, y)).filter(Boolean).length;
    expect(Math.max(...Array.from({ length: height }, (_, y) => row(y)))).toBeGreaterThan(0.6 * width);
    expect(row(0) + row(height - 1)).toBe(0);
    await until('what was shown of it is gone', () => soFar() === null);
  });

  it('of a cloth as it curls stays flat on the loom, and says why', async () => {
    await ask({ Held: 'curled' });
    const words = document.querySelector('.picture-dialog')!.textContent!;
    expect(words).toContain('Drawn flat: on the loom its tension holds it so.');
    expect(words).toContain('quay-edge-as-it-curls-72dpi.png');
    expect((drawButton().element() as HTMLButtonElement).disabled).toBe(false);
  });

  it('is refused beyond the scales offered and beyond its most pixels, with what to do', async () => {
    await ask({}, '9000');
    expect(sizeTold()).toContain('from 72 to 600');
    const disabled = () => (drawButton().element() as HTMLButtonElement).disabled;
    expect(disabled()).toBe(true);
    await page.getByRole('spinbutton', { name: 'Dots an inch' }).fill('600');
    expect(disabled()).toBe(false);
    const { pose, setPose } = laid.table.ui.getState();
    // A metre and more of table in view.
    setPose({ ...pose, mmPerPx: 10 });
    await userEvent.selectOptions(dialog().getByRole('combobox', { name: 'Part', exact: true }), 'inView');
    await until('it is refused', () => /more than 6000 a side: ask for \d+ dpi or less/.test(sizeTold()));
    expect(disabled()).toBe(true);
    setPose(pose);
  });

  it('can be stopped, and says that nothing was saved', async () => {
    await ask({ Drawn: '64' }, '150');
    await userEvent.click(drawButton());
    await userEvent.click(page.getByRole('button', { name: 'Stop', exact: true }));
    await until('it is told', () => notice().includes('stopped'));
    expect(downloads).toEqual([]);
    await until('the progress is gone', () => document.querySelector('progress') === null);
  });

  it('says so where the graphics context is lost meanwhile, and leaves the table as it was', async () => {
    const before = laid.table.samples.state.getState().sample;
    await ask({ Drawn: '64' }, '150');
    await userEvent.click(drawButton());
    await until('its context is there', () => contexts.length > 0);
    contexts[0].getExtension('WEBGL_lose_context')!.loseContext();
    await until('it is told', () => notice().includes('took its context away'));
    expect(downloads).toEqual([]);
    expect(laid.table.samples.state.getState().sample).toBe(before);
    expect(laid.table.ui.getState().picture).not.toBe('lost');
  });
});
