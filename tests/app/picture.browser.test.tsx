import { afterEach, describe, expect, it } from 'vitest';
import { page } from 'vitest/browser';
import { fixPicksPerCm, setBeat } from '#document/commands/beatCommands.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until, withoutWebGl2 } from './layTable.tsx';

let laid: LaidTable | undefined;

afterEach(async () => {
  await laid?.clear();
  laid = undefined;
});

/** A page so small that the software renderer draws it in seconds: the cloth's panel is under 200 px a side. */
async function laySmall(): Promise<LaidTable> {
  await page.viewport(300, 300);
  laid = await layTable(smallSample());
  await until('the picture is there', () => laid!.automation.view !== undefined);
  return laid;
}

const alertText = () => document.querySelector('.cloth-place [role=alert]')?.textContent ?? '';

/** Share of pixels that differ from the one in the corner, which is bench. */
function shareNotBench(pixels: Uint8ClampedArray): number {
  let other = 0;
  for (let i = 0; i < pixels.length; i += 4) {
    const apart = Math.abs(pixels[i] - pixels[0]) + Math.abs(pixels[i + 1] - pixels[1]);
    if (apart > 12) other++;
  }
  return (4 * other) / pixels.length;
}

describe('the picture on the page', () => {
  it('shows cloth where the forecast and the ribbons say it is', async () => {
    const { automation, table } = await laySmall();
    await automation.ready;
    const { pixels } = await automation.capture(120, 90, 1);
    expect(shareNotBench(pixels)).toBeGreaterThan(0.1);
    const { size } = table.ui.getState();
    const ratio = Math.min(window.devicePixelRatio, 2);
    const { endXMm, rowYMm } = automation.forecast!.geometry;
    // An open cloth has gaps: the first thread met within a few pixels of the middle stands for it.
    const offsets = Array.from({ length: 49 }, (_, k) => [(k % 7) - 3, Math.floor(k / 7) - 3]);
    const met = offsets
      .map(([dx, dy]) => automation.view!.pick((size.widthPx / 2 + dx) * ratio, (size.heightPx / 2 + dy) * ratio))
      .find((pick) => pick !== null);
    // The middle of the fitted panel is the middle of the cloth; the few pixels and thread ends make up the rest.
    expect(Math.abs(met!.end - endXMm.length / 2)).toBeLessThanOrEqual(3);
    expect(Math.abs(met!.row - rowYMm.length / 2)).toBeLessThanOrEqual(3);
  });

  it('comes back after the graphics context is lost and restored, and says so meanwhile', async () => {
    const { automation } = await laySmall();
    await automation.ready;
    const before = await automation.capture(60, 60, 1);
    const canvas = document.querySelector<HTMLCanvasElement>('.cloth-stage canvas')!;
    const loss = canvas.getContext('webgl2')!.getExtension('WEBGL_lose_context')!;
    loss.loseContext();
    await until('the loss is told', () => alertText().includes('took the picture away'));
    loss.restoreContext();
    await until('the message is gone', () => alertText() === '');
    await automation.whenSettled();
    const after = await automation.capture(60, 60, 1);
    expect(Array.from(after.pixels)).toEqual(Array.from(before.pixels));
  });
});

describe('the picture of the cloth before', () => {
  const workWord = () => document.querySelector('.work-word')?.textContent ?? '';

  it('stays where the changed cloth cannot be forecast, and is told to be the one before', async () => {
    const { automation, table } = await laySmall();
    await automation.ready;
    await automation.whenSettled();
    const before = await automation.capture(60, 60, 1);
    // No beat lays 90 picks of this weft to the cm.
    table.samples.dispatch(fixPicksPerCm(90));
    await until('it is said why', () => workWord().includes('No forecast'));
    expect(workWord()).toContain('Shown meanwhile: the cloth before.');
    const after = await automation.capture(60, 60, 1);
    expect(Array.from(after.pixels)).toEqual(Array.from(before.pixels));
    table.samples.undo();
    await until('the trouble is gone', () => !workWord().includes('No forecast'));
    expect(workWord()).not.toContain('the cloth before');
  });

  it('goes when the driver takes the picture away, whatever is answered meanwhile', async () => {
    const { automation, table } = await laySmall();
    await automation.ready;
    await automation.whenSettled();
    const canvas = document.querySelector<HTMLCanvasElement>('.cloth-stage canvas')!;
    const loss = canvas.getContext('webgl2')!.getExtension('WEBGL_lose_context')!;
    table.samples.dispatch(setBeat({ firmness: 0.9 }));
    await until('the one before is shown', () => table.ui.getState().pictureEarlier);
    loss.loseContext();
    await until('the loss is told', () => alertText().includes('took the picture away'));
    expect(table.ui.getState().pictureEarlier).toBe(false);
    table.samples.dispatch(setBeat({ firmness: 0.8 }));
    await table.forecast.settled();
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(table.ui.getState().pictureEarlier).toBe(false);
    expect(table.ui.getState().picture).toBe('lost');
    loss.restoreContext();
    await automation.whenSettled();
  });

  it('goes for good where the driver refuses a program: the cloth is flat, and stays told so', async () => {
    const { getProgramParameter } = WebGL2RenderingContext.prototype;
    WebGL2RenderingContext.prototype.getProgramParameter = function (program, name) {
      return name === this.LINK_STATUS ? false : getProgramParameter.call(this, program, name);
    };
    try {
      await page.viewport(300, 300);
      laid = await layTable(smallSample());
      const { ui, samples, forecast } = laid.table;
      await until('the refusal is told', () => alertText().includes('refused a program'));
      samples.dispatch(setBeat({ firmness: 0.9 }));
      await forecast.settled();
      await until('the cloth is flat', () => document.querySelector('canvas.flat-cloth') !== null);
      expect(ui.getState()).toMatchObject({ picture: 'impossible', pictureEarlier: false });
    } finally {
      WebGL2RenderingContext.prototype.getProgramParameter = getProgramParameter;
    }
  });
});

describe('without WebGL 2', () => {
  it('shows the threads flat where they lie, face and back, near and far, and says why', async () => {
    await page.viewport(500, 400);
    const giveBack = withoutWebGl2();
    try {
      laid = await layTable(smallSample());
      const { automation, table } = laid;
      await automation.ready;
      expect(alertText()).toContain('WebGL 2');
      const canvas = document.querySelector<HTMLCanvasElement>('canvas.flat-cloth')!;
      const colours = () => {
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
        const seen = new Set<string>();
        for (let i = 0; i < data.length; i += 4) if (data[i + 3] === 255) seen.add(`${data[i]},${data[i + 1]}`);
        return seen;
      };
      // Kelp, gull, tar and rope at least, each in its own colour.
      await until('the flat cloth is drawn', () => colours().size >= 4);
      // As wide to its length as the cloth is, its threads' own widths beyond the outer ones aside.
      const shape = () => {
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
        let [left, right, top, bottom] = [canvas.width, 0, canvas.height, 0];
        for (let i = 3; i < data.length; i += 4) {
          if (data[i] === 0) continue;
          const [x, y] = [((i - 3) / 4) % canvas.width, Math.floor((i - 3) / 4 / canvas.width)];
          [left, right, top, bottom] = [Math.min(left, x), Math.max(right, x), Math.min(top, y), Math.max(bottom, y)];
        }
        return { wide: right - left + 1, high: bottom - top + 1 };
      };
      const { widthMm, lengthMm } = automation.forecast!.readings;
      const { wide, high } = shape();
      expect(Math.abs(Math.log(wide / high / (widthMm.value / lengthMm.value)))).toBeLessThan(0.12);
      // Half as near, it is half as large.
      const { moveBy } = table.ui.getState();
      moveBy((pose) => ({ ...pose, mmPerPx: 2 * pose.mmPerPx }));
      await until('it is farther', () => shape().wide < 0.55 * wide);
      expect(shape().wide).toBeGreaterThan(0.45 * wide);
      moveBy((pose) => ({ ...pose, mmPerPx: pose.mmPerPx / 2 }));
      table.ui.getState().turnOver();
      await until('the back is named', () => document.querySelector('.side-word')?.textContent === 'Back');
      expect(automation.view).toBeUndefined();
      await expect(automation.capture(10, 10, 1)).rejects.toThrow('no picture');
    } finally {
      giveBack();
    }
  });
});
