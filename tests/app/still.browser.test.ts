import { describe, expect, it } from 'vitest';
import { drawStill, drawStills, type StillOptions } from '#app/still/still.ts';
import { smallSampleFile } from '#tests/document/smallSample.ts';

const small: StillOptions = { side: 'face', view: 'square', width: 96, height: 72, samples: 1 };

async function pixelsOf(pngBase64: string): Promise<ImageData> {
  const bytes = Uint8Array.from(atob(pngBase64), (letter) => letter.charCodeAt(0));
  const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
  const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext('2d')!;
  context.drawImage(bitmap, 0, 0);
  return context.getImageData(0, 0, bitmap.width, bitmap.height);
}

describe('stills', () => {
  it('draws face and back at the size asked for, with readings', async () => {
    const text = JSON.stringify(smallSampleFile());
    const face = await drawStill(text, small);
    const back = await drawStill(text, { ...small, side: 'back' });
    const facePixels = await pixelsOf(face.pngBase64);
    expect([facePixels.width, facePixels.height]).toEqual([96, 72]);
    expect(Array.from((await pixelsOf(back.pngBase64)).data)).not.toEqual(Array.from(facePixels.data));
    // 4 dents of 2 ends a centimetre, drawn in.
    const { reedWidthMm, fellWidthMm } = face.readings.sizes!;
    expect((face.readings.endsPerCm.value * fellWidthMm.value) / reedWidthMm).toBeCloseTo(8, 3);
    expect(face.readings.endsPerCm.value).toBeGreaterThan(8);
    expect(back.readings).toEqual(face.readings);
  });

  it('draws the whole cloth at true size, both sides with a ruler, and writes the scale in', async () => {
    const text = JSON.stringify(smallSampleFile());
    const dotsPerInch = 60;
    const still = await drawStill(text, { ...small, side: 'both', width: 0, height: 0, dotsPerInch, ruler: true });
    const { width, height } = await pixelsOf(still.pngBase64);
    // Twice the cloth with 4 mm about it, 6 mm between, and a ruler below.
    const pxPerMm = dotsPerInch / 25.4;
    const { value: lengthMm } = still.readings.lengthMm;
    expect(width).toBeGreaterThan(2 * still.readings.widthMm.value * pxPerMm);
    expect(width).toBeLessThan((2 * still.readings.widthMm.value + 34) * pxPerMm);
    expect(height).toBeGreaterThan(lengthMm * pxPerMm + 24);
    const bytes = Uint8Array.from(atob(still.pngBase64), (letter) => letter.charCodeAt(0));
    expect(new DataView(bytes.buffer).getUint32(41)).toBe(Math.round(dotsPerInch / 0.0254));
  });

  it('draws threads finer than a pixel from afar, so that one sample is as good as many', async () => {
    const text = JSON.stringify(smallSampleFile());
    // Two threads and more to a pixel.
    const fine = { ...small, width: 20, height: 20, mmPerPx: 2.5 };
    const [once, often] = await drawStills(text, [fine, { ...fine, samples: 32 }]);
    const [a, b] = [await pixelsOf(once.pngBase64), await pixelsOf(often.pngBase64)];
    let worst = 0;
    let seen = 0;
    for (let y = 8; y < 12; y++) {
      for (let x = 7; x < 13; x++) {
        const at = (y * 20 + x) * 4;
        worst = Math.max(worst, Math.abs(a.data[at] - b.data[at]));
        if (b.data[at] < 215) seen++;
      }
    }
    expect(seen).toBeGreaterThan(12);
    // Walked, single samples meet one thread or another, of colours 130 codes apart.
    expect(worst).toBeLessThan(25);
  });

  it('says which scale would fit where true size is too large', async () => {
    const text = JSON.stringify(smallSampleFile());
    await expect(drawStill(text, { ...small, width: 0, height: 0, dotsPerInch: 24_000 })).rejects.toThrow(
      /dpi or less/,
    );
  });

  it('refuses a wrong file with the place and the remedy', async () => {
    const file = smallSampleFile();
    file.beat.firmness = 7;
    await expect(drawStill(JSON.stringify(file), small)).rejects.toThrow(/firmness.*between 0 and 1/);
    await expect(drawStill('no sample', small)).rejects.toThrow();
  });
});
