import { describe, expect, it } from 'vitest';
import { THREAD_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { createEye, FACE_POSE, placeEye } from '#render/eye.ts';
import { BYTES_PER_TEXEL } from '#render/farPicture.ts';
import { farWindow, mostFarTexels } from '#render/farWindow.ts';
import { MOST_BYTES, pictureScale } from '#render/paneBudget.ts';
import { BYTES_PER_PIXEL } from '#render/pictureTargets.ts';

/** What the window reads of a cloth: threads a millimetre apart both ways. */
function evenCloth(side: number): PackedCloth {
  const endTable = new Float32Array(side * THREAD_TEXELS * 4);
  const lineTable = new Float32Array(side * 4);
  for (let k = 0; k < side; k++) {
    endTable[k * THREAD_TEXELS * 4] = k;
    lineTable[k * 4] = k;
  }
  const bounds = { min: [0, 0, -0.4], max: [side - 1, side - 1, 0.4] };
  return { ends: side, lines: side, endTable, lineTable, bounds } as unknown as PackedCloth;
}

/** As in shaders/cloth/farView.glsl: pixels that one lookup spreads over. */
const FAR_SOFT = 1.5;

const large = evenCloth(2000);

function windowOf(cloth: PackedCloth, width: number, height: number, pixelsPerMm: number, more = {}) {
  const eye = createEye();
  const middle = (cloth.ends - 1) / 2;
  placeEye(eye, { ...FACE_POSE, centreMm: [middle, middle], pixelsPerMm, ...more }, height, 1);
  return farWindow(cloth, eye, width, height);
}

describe('the flat picture of a cloth from afar', () => {
  it.each([
    ['one picture', 1, 1, 1],
    ['two beside each other', 2, 1, 1],
    ['four beside each other', 2, 2, 1],
    ['one split in two whole ones', 1, 1, 2],
  ])('keeps within memory together with all other targets: %s', (_what, columns, rows, copies) => {
    for (const [canvasWidth, canvasHeight] of [
      [1280, 720],
      [1920, 1080],
      [2560, 1440],
      [3840, 2160],
    ]) {
      const canvas = canvasWidth * canvasHeight;
      const panes = columns * rows * copies;
      const far = (share: number) =>
        panes * BYTES_PER_TEXEL * mostFarTexels(large, (share * canvas) / (columns * rows));
      const scale = pictureScale(canvas * copies, canvas, BYTES_PER_PIXEL, far);
      const width = Math.floor((canvasWidth * scale) / columns);
      const height = Math.floor((canvasHeight * scale) / rows);
      let most = 0;
      for (let pixelsPerMm = 8; pixelsPerMm > 0.2; pixelsPerMm *= 0.9) {
        for (const pitchRad of [0, 1.2]) {
          const window = windowOf(large, width, height, pixelsPerMm, { pitchRad });
          most = Math.max(most, window.width * window.height * BYTES_PER_TEXEL);
        }
      }
      // The window was not small for want of cloth.
      expect(most).toBeGreaterThan(1e6);
      const allowed = canvas > 1920 * 1080 ? Math.min(4e6, canvas) * BYTES_PER_PIXEL : MOST_BYTES;
      expect(panes * (most + width * height * BYTES_PER_PIXEL)).toBeLessThanOrEqual(allowed);
      // Nor is sharpness given away: a hundredth more of the pixels would be too many.
      if (scale < 1) {
        const more = 1.01 * scale ** 2;
        const tooMuch = copies * canvas * more * BYTES_PER_PIXEL + far(more) > allowed;
        expect(tooMuch || copies * canvas * more > 4e6).toBe(true);
      }
    }
  });

  it('takes next to nothing where the cloth has few threads', () => {
    expect(mostFarTexels(evenCloth(24), 1920 * 1080)).toBeLessThanOrEqual(128 ** 2);
    for (const pixelsPerMm of [0.5, 2, 4]) {
      const { width, height } = windowOf(evenCloth(24), 1920, 1080, pixelsPerMm);
      expect(width * height).toBeLessThanOrEqual(mostFarTexels(evenCloth(24), 1920 * 1080));
    }
  });

  it('has blocks no wider than what a lookup spreads over, seen square-on', () => {
    for (const [width, height] of [
      [1400, 1000],
      [640, 1080],
      [480, 360],
    ]) {
      for (let pixelsPerMm = 2; pixelsPerMm > 0.15; pixelsPerMm *= 0.9) {
        const { block } = windowOf(large, width, height, pixelsPerMm);
        expect(block === 1 || block * pixelsPerMm <= FAR_SOFT, `${pixelsPerMm} px a thread`).toBe(true);
      }
    }
  });

  it('is as fine in the parts of a picture too large for one', () => {
    const [side, pixels, part] = [6000, 6000, 1024];
    const cloth = evenCloth(side);
    for (const pixelsPerMm of [1.2, 0.8]) {
      const eye = createEye();
      placeEye(eye, { ...FACE_POSE, centreMm: [(side - 1) / 2, (side - 1) / 2], pixelsPerMm }, pixels, 1);
      const whole = farWindow(cloth, eye, pixels, pixels);
      expect(whole.block * pixelsPerMm).toBeGreaterThan(FAR_SOFT);
      for (let x = 0; x < pixels; x += part) {
        const of = farWindow(cloth, eye, pixels, pixels, { x, y: 2 * part, width: part, height: part });
        expect(of.block).toBe(1);
        // Parallel rays: pixel x is the thread that lies there.
        const threadAt = (px: number) => (side - 1) / 2 + (px - pixels / 2) / pixelsPerMm;
        expect(of.end).toBeLessThanOrEqual(Math.max(0, threadAt(x)));
        expect(of.end + of.width).toBeGreaterThanOrEqual(Math.min(side - 1, threadAt(x + part)));
        expect(of.line).toBeLessThanOrEqual(threadAt(2 * part));
        expect(of.line + of.height).toBeGreaterThanOrEqual(threadAt(3 * part));
      }
    }
  });

  it('holds all threads in view, and its smaller copies halve evenly', () => {
    for (const [side, pixelsPerMm] of [
      [30, 2],
      [240, 1],
      [1000, 0.7],
      [2000, 0.3],
      [2000, 3],
    ]) {
      const [width, height] = [700, 500];
      const cloth = evenCloth(side);
      const window = windowOf(cloth, width, height, pixelsPerMm);
      for (const [at, along, pixels] of [
        [window.end, window.width, width],
        [window.line, window.height, height],
      ]) {
        const middle = (side - 1) / 2;
        const reach = pixels / 2 / pixelsPerMm;
        expect(at).toBeLessThanOrEqual(Math.max(0, middle - reach));
        expect(at + along * window.block).toBeGreaterThanOrEqual(Math.min(side - 1, middle + reach));
        expect(along % 128 === 0 || 128 % along === 0).toBe(true);
      }
    }
  });
});
