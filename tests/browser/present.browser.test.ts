import * as THREE from 'three';
import { afterAll, expect, test } from 'vitest';
import { LinearProbe } from '#tests/helpers/farScenes.ts';

const SIDE = 5;
const MIDDLE = 2 * SIDE + 2;

const probe = new LinearProbe();
afterAll(() => probe.close());

/** The picture of even light with another in its middle, as it comes onto the canvas at so many times its size; red. */
function shown(light: number, middle: number, times: number): Uint8Array {
  const halves = Uint16Array.from({ length: SIDE * SIDE * 4 }, (_, k) =>
    THREE.DataUtils.toHalfFloat(Math.floor(k / 4) === MIDDLE ? middle : light),
  );
  const picture = new THREE.DataTexture(halves, SIDE, SIDE, THREE.RGBAFormat, THREE.HalfFloatType);
  picture.needsUpdate = true;
  const side = times * SIDE;
  const target = new THREE.WebGLRenderTarget(side, side, { depthBuffer: false });
  const bytes = new Uint8Array(side * side * 4);
  probe.renderer.autoClear = false;
  probe.drawer.present(picture, target, side, side);
  probe.renderer.readRenderTargetPixels(target, 0, 0, side, side, bytes);
  target.dispose();
  picture.dispose();
  expect(probe.errors).toEqual([]);
  return bytes.filter((_, k) => k % 4 === 0);
}

test.each([1, 3])(
  'noise below nothing, and what is no number, shows as what lies beside it, at %i times the size',
  (times) => {
    const even = shown(0.5, 0.5, times);
    // 0.5 of linear light in sRGB (IEC 61966-2-1).
    expect(even[0]).toBe(188);
    expect(shown(0.5, -0.3, times)).toEqual(even);
    expect(shown(0.5, Number.NaN, times)).toEqual(even);
    // Black stays black.
    expect(Math.min(...shown(0.5, 0, times))).toBe(0);
  },
);
