import fc from 'fast-check';
import { encode } from 'fast-png';
import { PNG } from 'pngjs';
import { describe, expect, it } from 'vitest';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import { readDrawdownPng, writeDrawdownPng } from '#io/drawdownPng.ts';
import { arbitraryDrawdown } from '#tests/helpers/arbitraryDraft.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

function drawdownOf(bytes: Uint8Array) {
  const read = readDrawdownPng(bytes);
  if (!read.ok) throw new Error(read.problems[0].message);
  return read.value.drawdown;
}

const twill = drawdownFromRows([
  [1, 1, 0, 0, 1],
  [0, 1, 1, 0, 0],
  [0, 0, 1, 1, 0],
]);

describe('a drawdown as a picture', () => {
  it('is one pixel a crossing, warp up black, first pick lowest, as another PNG reader sees it', () => {
    const png = PNG.sync.read(Buffer.from(writeDrawdownPng(twill)));
    expect([png.width, png.height]).toEqual([5, 3]);
    const reds = (line: number) => Array.from({ length: 5 }, (_, x) => png.data[4 * (5 * line + x)]);
    expect(reds(2)).toEqual([0, 0, 255, 255, 0]);
    expect(reds(0)).toEqual([255, 255, 0, 0, 255]);
  });

  it('reads back the same (random drawdowns, seed 8)', () => {
    fc.assert(
      fc.property(arbitraryDrawdown(), (drawdown) => {
        expect(sameDrawdown(drawdownOf(writeDrawdownPng(drawdown)), drawdown)).toBe(true);
      }),
      { seed: 8, numRuns: 100 },
    );
  });

  it('is read from colour with clear pixels, from greys and from wide numbers alike', () => {
    const up = (line: number, x: number) =>
      (2 - line === 0 ? [1, 1, 0, 0, 1] : 2 - line === 1 ? [0, 1, 1, 0, 0] : [0, 0, 1, 1, 0])[x];
    const pixels = (of: (isUp: boolean) => number[]) =>
      Array.from({ length: 15 }, (_, i) => of(up(Math.floor(i / 5), i % 5) === 1)).flat();
    const size = { width: 5, height: 3 };
    const tar = encode({
      ...size,
      channels: 4,
      data: Uint8Array.from(pixels((is) => (is ? [30, 20, 20, 255] : [0, 0, 0, 0]))),
    });
    const grey = encode({ ...size, channels: 1, data: Uint8Array.from(pixels((is) => [is ? 90 : 91])) });
    const wide = encode({
      ...size,
      channels: 3,
      depth: 16,
      data: Uint16Array.from(pixels((is) => (is ? [9000, 0, 0] : [65535, 0, 0]))),
    });
    for (const bytes of [tar, grey, wide]) expect(sameDrawdown(drawdownOf(bytes), twill)).toBe(true);
  });

  it('tells how many tones a picture has that was not meant for a drawdown', () => {
    const bytes = encode({ width: 4, height: 1, channels: 1, data: Uint8Array.from([0, 80, 160, 255]) });
    expect(readDrawdownPng(bytes)).toMatchObject({ ok: true, value: { tones: 4 } });
  });

  it('refuses a picture with more pixels than a sample has crossings before it unpacks any', () => {
    const bytes = new Uint8Array(writeDrawdownPng(twill));
    new DataView(bytes.buffer).setUint32(16, 2_000_000_000);
    const read = readDrawdownPng(bytes);
    expect(read.ok ? '' : read.problems[0].message).toMatch(/2000000000 by 3 pixels.*at most 10000 ends/);
  });

  it('says why of 2 000 damaged pictures, or reads the drawdown where the damage does not touch it (seed 31)', () => {
    const random = seededRandom(31);
    const whole = writeDrawdownPng(twill);
    let refused = 0;
    for (let i = 0; i < 2000; i++) {
      const bytes = new Uint8Array(whole);
      const cut = random() < 0.3 ? Math.floor(random() * bytes.length) : bytes.length;
      for (let k = Math.floor(random() * 4); k >= 0; k--)
        bytes[Math.floor(random() * bytes.length)] = Math.floor(random() * 256);
      const read = readDrawdownPng(bytes.subarray(0, cut));
      if (read.ok) {
        expect(sameDrawdown(read.value.drawdown, twill), `picture ${i}`).toBe(true);
        continue;
      }
      refused++;
      expect(read.problems[0].message, `picture ${i}`).toMatch(/^This document is .{10,}\. [A-Z].{5,}\.$/);
    }
    expect(refused).toBeGreaterThan(1900);
  });
});
