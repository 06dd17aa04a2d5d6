import * as THREE from 'three';
import { afterAll, describe, expect, test } from 'vitest';
import { ClothView } from '#render/clothView.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';

/** A device that offers what WebGL 2 promises and no more. */
const WITHHELD = [
  'EXT_color_buffer_float',
  'EXT_color_buffer_half_float',
  'EXT_float_blend',
  'EXT_disjoint_timer_query_webgl2',
  'KHR_parallel_shader_compile',
  'OES_texture_float_linear',
  'OES_texture_half_float_linear',
];
const LEAST_TEXTURE_SIDE = 4096;

function poorContext(canvas: HTMLCanvasElement): WebGL2RenderingContext {
  const gl = canvas.getContext('webgl2') as WebGL2RenderingContext;
  const getExtension = gl.getExtension.bind(gl);
  const getParameter = gl.getParameter.bind(gl);
  const texImage2D = gl.texImage2D.bind(gl) as (...values: unknown[]) => void;
  const texStorage2D = gl.texStorage2D.bind(gl);
  const refuse = (width: number, height: number) => {
    if (width > LEAST_TEXTURE_SIDE || height > LEAST_TEXTURE_SIDE) throw new Error(`texture ${width} × ${height}`);
  };
  Object.assign(gl, {
    getExtension: (name: string) => (WITHHELD.includes(name) ? null : getExtension(name)),
    getSupportedExtensions: () => [],
    getParameter: (name: number) => (name === gl.MAX_TEXTURE_SIZE ? LEAST_TEXTURE_SIDE : getParameter(name)),
    texImage2D: (...values: unknown[]) => {
      if (typeof values[3] === 'number' && typeof values[4] === 'number') refuse(values[3], values[4]);
      texImage2D(...values);
    },
    texStorage2D: (target: number, levels: number, format: number, width: number, height: number) => {
      refuse(width, height);
      texStorage2D(target, levels, format, width, height);
    },
  });
  return gl;
}

const SIZE = 72;
const SAMPLES = 8;
/** Means kept in bytes instead of half floats lose about half a level a sample, in linear light, most in the darks. */
const MEAN_DIFFERENCE = 4;
const square = { yawRad: 0.3, pitchRad: 0.2, rollRad: 0, turnedOver: false };

/** More threads than a texture side holds: tables must fold. */
const cloth = clothFixture({
  ends: 4200,
  rows: 24,
  periodEnds: 4,
  periodRows: 4,
  warp: [{ widthMm: 0.8, heightMm: 0.7, colour: [0.6, 0.3, 0.1] }],
  weft: [{ widthMm: 0.9, heightMm: 0.7, colour: [0.1, 0.3, 0.6] }],
  warpUp: (row, end) => (end - row + 4 * 24) % 4 < 2,
});

describe('on a device with the least that WebGL 2 promises', () => {
  const canvas = document.createElement('canvas');
  const renderer = new THREE.WebGLRenderer({ canvas, context: poorContext(canvas) });
  renderer.setSize(SIZE, SIZE, false);
  const errors: string[] = [];
  const view = new ClothView(renderer, { limits: 'low', samples: SAMPLES, onShaderError: (log) => errors.push(log) });
  const rich = openView({ samples: SAMPLES });
  afterAll(() => {
    view.dispose();
    renderer.dispose();
    renderer.forceContextLoss();
    rich.close();
  });

  test('the picture settles and is the one that a better device draws', async () => {
    const packed = pack(cloth);
    const pose = { ...square, centreMm: [2100, 12] as const, pixelsPerMm: 4 };
    for (const each of [view, rich.view]) {
      each.setCloth(packed);
      each.setSize(SIZE, SIZE);
      each.setView(pose);
    }
    for (let frame = 0; view.step() === 'more'; frame++) {
      expect(frame).toBeLessThan(2000);
      await new Promise((resolve) => requestAnimationFrame(resolve));
    }
    const poor = await view.capture(SIZE, SIZE, SAMPLES);
    const better = await rich.view.capture(SIZE, SIZE, SAMPLES);
    let difference = 0;
    let light = 0;
    for (let k = 0; k < poor.pixels.length; k++) {
      difference += Math.abs(poor.pixels[k] - better.pixels[k]);
      light += better.pixels[k];
    }
    expect(errors).toEqual([]);
    expect(renderer.getContext().getError()).toBe(0);
    expect(light / poor.pixels.length).toBeGreaterThan(40);
    expect(difference / poor.pixels.length).toBeLessThan(MEAN_DIFFERENCE);
  });

  test('the reference, whose means need more than bytes, says what it lacks', async () => {
    view.setCloth(pack(cloth));
    await expect(view.capture(16, 16, 1, { reference: true })).rejects.toThrow(
      /draws to no float targets; use another/,
    );
    expect(errors).toEqual([]);
  });
});
