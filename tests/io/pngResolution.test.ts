import { PNG } from 'pngjs';
import { describe, expect, test } from 'vitest';
import { withResolution } from '#io/pngResolution.ts';

const plain = (() => {
  const png = new PNG({ width: 3, height: 2 });
  png.data.fill(128);
  return new Uint8Array(PNG.sync.write(png));
})();

describe('the scale written into a PNG', () => {
  test('leaves the picture as it was, by a reader that checks every chunk’s sum', () => {
    const read = PNG.sync.read(Buffer.from(withResolution(plain, 11811)), { checkCRC: true });
    expect([read.width, read.height]).toEqual([3, 2]);
    expect(read.data.every((byte) => byte === 128)).toBe(true);
  });

  // A 300 dpi picture as image editors write it: 11 811 pixels a metre both ways.

  test('stands between header and data, in pixels a metre both ways', () => {
    const bytes = withResolution(plain, 300 / 0.0254);
    const view = new DataView(bytes.buffer);
    expect(String.fromCharCode(...bytes.subarray(37, 41))).toBe('pHYs');
    expect([view.getUint32(33), view.getUint32(41), view.getUint32(45), bytes[49]]).toEqual([9, 11811, 11811, 1]);
  });

  test('refuses what is no PNG and a scale that is none', () => {
    expect(() => withResolution(new Uint8Array(60), 100)).toThrow(/no PNG/);
    expect(() => withResolution(plain, 0)).toThrow(/pixels per metre/);
  });
});
