import { describe, expect, it } from 'vitest';
import { drawStill, type StillOptions } from '#app/still/still.ts';
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
    // 4 dents of 2 ends a centimetre.
    expect(face.readings.endsPerCm).toBeCloseTo(8, 6);
    expect(back.readings).toEqual(face.readings);
  });

  it('refuses a wrong file with the place and the remedy', async () => {
    const file = smallSampleFile();
    file.beat.firmness = 7;
    await expect(drawStill(JSON.stringify(file), small)).rejects.toThrow(/firmness.*between 0 and 1/);
    await expect(drawStill('no sample', small)).rejects.toThrow();
  });
});
