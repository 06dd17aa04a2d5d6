import type * as THREE from 'three';
import { describe, expect, it } from 'vitest';
import { DrawingState } from '#render/drawingState.ts';
import type { PictureDrawer } from '#render/pictureDrawer.ts';
import type { PictureTargets } from '#render/pictureTargets.ts';

const LIGHT = ['lightWalk', 'columns', 'lightColumns'];
const NAMES = ['walk', 'shade', 'present', 'farClass', 'farCloth', ...LIGHT];
const targets = {} as PictureTargets;
const afterAll = () => new Promise((resolve) => setTimeout(resolve, 0));

/** Programs whose compiling ends when told to. */
function handCompiled() {
  const begun: string[] = [];
  const done = new Map<string, () => void>();
  const pass = (name: string) => ({
    compile: () => {
      begun.push(name);
      return new Promise<void>((resolve) => done.set(name, resolve));
    },
  });
  const programs = { version: 0, ...Object.fromEntries(NAMES.map((name) => [name, pass(name)])) };
  const gl = { getExtension: () => null };
  const renderer = { getContext: () => gl } as unknown as THREE.WebGLRenderer;
  const drawer = { programs, renderer } as unknown as PictureDrawer;
  const finish = async (...names: string[]) => {
    for (const name of names) done.get(name)!();
    await afterAll();
  };
  return { drawer, begun, finish };
}

const QUICK = ['walk', 'shade', 'present', 'farClass', 'farCloth'];

describe('programs of a picture', () => {
  it('are compiled in the order of their need, those of the first picture together', async () => {
    const { drawer, begun, finish } = handCompiled();
    const state = new DrawingState(drawer, 'full');
    expect(state.compile(targets, true)).toBe(false);
    expect(begun).toEqual(QUICK);
    await finish(...QUICK);
    expect(state.compile(targets, true)).toBe(true);
    expect(begun.slice(QUICK.length)).toEqual(LIGHT);
    expect(state.fullReady).toBe(false);
    await finish(...LIGHT);
    expect(state.fullReady).toBe(true);
    state.compile(targets, true);
    expect(begun.length).toBe(QUICK.length + LIGHT.length);
  });

  it('are not believed ready where the context they were compiled in is lost', async () => {
    const { drawer, begun, finish } = handCompiled();
    const state = new DrawingState(drawer, 'full');
    state.compile(targets, false);
    await finish(...QUICK);
    // While moving, nothing waits for the light's rays.
    expect(state.compile(targets, false)).toBe(true);
    expect(begun.length).toBe(QUICK.length);
    state.compile(targets, true);
    state.forget();
    await finish(...LIGHT);
    expect(state.fullReady).toBe(false);
    expect(state.compile(targets, true)).toBe(false);
  });
});
