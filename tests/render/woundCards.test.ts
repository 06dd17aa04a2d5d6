import { afterEach, describe, expect, it, vi } from 'vitest';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { DrawingState } from '#render/drawingState.ts';
import { LIGHTS } from '#render/lights.ts';
import type { PictureDrawer } from '#render/pictureDrawer.ts';
import type { PictureScene } from '#render/pictureScene.ts';
import { Feature } from '#render/programFeatures.ts';
import { WoundCards } from '#render/woundCards.ts';

/** A draw on a quick GPU, and the first by programs that its driver compiles then, ms. */
const QUICK_MS = 4;
const COMPILING_MS = 400;

afterEach(() => {
  vi.restoreAllMocks();
});

/** Cards on a GPU that compiles what it has not drawn by yet, and what was drawn: features of each slice and its samples. */
function timedCards() {
  let now = 0;
  vi.spyOn(performance, 'now').mockImplementation(() => now);
  const slices: { features: number; samples: number }[] = [];
  const known = new Set<number>();
  const gl = {
    SIGNALED: 1,
    getExtension: () => null,
    isContextLost: () => false,
    fenceSync: () => ({}),
    deleteSync: () => {},
    getSyncParameter: () => 1,
    flush: () => {
      const { features } = slices[slices.length - 1];
      now += known.has(features) ? QUICK_MS : COMPILING_MS;
      known.add(features);
    },
  };
  const renderer = {
    getContext: () => gl,
    getRenderTarget: () => null,
    setRenderTarget: () => {},
    readRenderTargetPixelsAsync: async () => {},
  };
  const drawer = {
    renderer,
    programs: { uniforms: { uLightnessOnly: { value: 0 } } },
    load: ({ features }: { features: number }) => ({ features, dispose: () => {} }),
    setScene: ({ features = 0 }: PictureScene) => slices.push({ features, samples: 0 }),
    drawTile: () => slices[slices.length - 1].samples++,
    present: () => {},
  } as unknown as PictureDrawer;
  const state = { compile: () => true, fullReady: () => true } as unknown as DrawingState;
  const cards = new WoundCards(drawer, state, true);
  const drawn = async (features: number) => {
    const from = slices.length;
    let done = false;
    const cloth = { features } as unknown as PackedCloth;
    cards.take({ cloth, light: LIGHTS.window.light, sidePx: 8, sideMm: 1, onDone: () => (done = true) });
    while (!done) {
      cards.step();
      await Promise.resolve();
    }
    return slices.slice(from);
  };
  return { drawn };
}

describe('cards drawn for the shelf', () => {
  it('share programs with those before of the same kind of thread', async () => {
    const { drawn } = timedCards();
    const { hair, mesh, tight, clear } = Feature;
    const sets: number[] = [];
    for (const features of [hair, 0, mesh, tight, clear]) sets.push((await drawn(features))[0].features);
    expect(sets).toEqual([hair, hair, mesh, tight, clear]);
  });

  it('take longer steps on a quick GPU, and no shorter ones for the time that its driver takes to compile', async () => {
    const { drawn } = timedCards();
    const samples = (slices: { samples: number }[]) => slices.map((slice) => slice.samples);
    expect(samples(await drawn(0))).toEqual([2, 2, 4, 8]);
    expect(samples(await drawn(Feature.mesh))).toEqual([8, 8]);
    expect(samples(await drawn(Feature.clear))).toEqual([8, 8]);
  });
});
