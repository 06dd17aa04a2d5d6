import * as THREE from 'three';
import { describe, expect, it } from 'vitest';
import { BLUR_BYTES_PER_PIXEL } from '#render/eyeBlur.ts';
import { MOST_BYTES, pictureScale } from '#render/paneBudget.ts';
import { BYTES_PER_PIXEL, PictureTargets } from '#render/pictureTargets.ts';

const fullHd = 1920 * 1080;

/** 24 bits of depth take up 32. */
const DEPTH_BYTES = 4;

describe('memory of the pictures on a canvas', () => {
  it('counts every byte a pixel of the targets', () => {
    const targets = new PictureTargets(7, 5, true);
    const all = new Set<THREE.Texture>();
    const { buffer, light, found, facing, quick, quickToBe, meanSoFar } = targets;
    for (const target of [buffer, light, found, facing, quick, quickToBe, meanSoFar]) {
      for (const texture of target.textures) all.add(texture);
    }
    let bytes = 0;
    for (const { type, format } of all) {
      expect(format).toBe(THREE.RGBAFormat);
      bytes += type === THREE.HalfFloatType ? 8 : 4;
    }
    expect([buffer.depthBuffer, light.depthBuffer, facing.depthBuffer]).toEqual([true, false, false]);
    expect(found.depthTexture).toBe(buffer.depthTexture);
    bytes += DEPTH_BYTES;
    expect(bytes).toBe(BYTES_PER_PIXEL);
  });

  it.each([
    ['one picture', 1],
    ['four beside each other', 1],
    ['one split in two whole ones', 2],
    ['two halves and a lens', 1.05],
  ])('stays within 100 MB at 1080p for %s', (_what, shareOfCanvas) => {
    const framePixels = fullHd * shareOfCanvas;
    const scale = pictureScale(framePixels, fullHd);
    expect(framePixels * scale * scale * BYTES_PER_PIXEL).toBeLessThanOrEqual(MOST_BYTES * (1 + 1e-9));
    // No sharpness is given away that memory does not ask for.
    expect(scale === 1 || framePixels * BYTES_PER_PIXEL > MOST_BYTES).toBe(true);
  });

  it("gives up sharpness for the two targets of the eye's spread", () => {
    const bytes = BYTES_PER_PIXEL + BLUR_BYTES_PER_PIXEL;
    const scale = pictureScale(fullHd, fullHd, bytes);
    expect(fullHd * scale * scale * bytes).toBeLessThanOrEqual(MOST_BYTES * (1 + 1e-9));
  });

  it('draws large canvases with 4 MP at most, one at 1080p in full', () => {
    expect(pictureScale(fullHd, fullHd)).toBe(1);
    expect(pictureScale(16e6, 16e6)).toBeCloseTo(0.5, 9);
  });
});

describe('targets that take turns', () => {
  it('never draw into what is shown or read', () => {
    const targets = new PictureTargets(4, 4, false);
    for (let k = 0; k < 6; k++) {
      const three = new Set([targets.quick, targets.meanSoFar, targets.meanToBe]);
      expect(three.size).toBe(3);
      expect(targets.quickToBe).toBe(targets.meanToBe);
      const drawn = targets.meanToBe;
      if (k % 3 === 0) targets.swapQuick();
      else targets.swap();
      expect(k % 3 === 0 ? targets.quick : targets.meanSoFar).toBe(drawn);
    }
  });
});
