import type * as THREE from 'three';
import { describe, expect, it } from 'vitest';
import { DrawingState } from '#render/drawingState.ts';
import type { PictureDrawer } from '#render/pictureDrawer.ts';
import type { PictureTargets } from '#render/pictureTargets.ts';

const NAMES = ['walk', 'shade', 'present', 'lightWalk', 'farClass', 'farCloth'] as const;
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

describe('programs of a picture', () => {
  it('are compiled in the order of their need, from afar last and only where that is wanted', async () => {
    const { drawer, begun, finish } = handCompiled();
    const state = new DrawingState(drawer, 'full');
    expect(state.compile(targets, true, true)).toBe(false);
    expect(begun).toEqual(['walk', 'shade', 'present']);
    await finish('walk', 'shade', 'present');
    expect(state.compile(targets, true, true)).toBe(true);
    expect(begun.slice(3)).toEqual(['lightWalk']);
    await finish('lightWalk');
    state.compile(targets, true, false);
    expect(begun.length).toBe(4);
    state.compile(targets, true, true);
    state.compile(targets, true, true);
    expect(begun.slice(4)).toEqual(['farClass', 'farCloth']);
    await finish('farClass');
    expect([state.fullReady, state.farReady]).toEqual([true, false]);
    await finish('farCloth');
    expect(state.farReady).toBe(true);
  });

  it('are not believed ready where the context they were compiled in is lost', async () => {
    const { drawer, begun, finish } = handCompiled();
    const state = new DrawingState(drawer, 'full');
    state.compile(targets, false, true);
    await finish('walk', 'shade', 'present');
    // While moving, nothing waits for the light's rays.
    state.compile(targets, false, true);
    expect(begun.slice(3)).toEqual(['farClass', 'farCloth']);
    state.forget();
    await finish('farClass', 'farCloth');
    expect(state.farReady).toBe(false);
    expect(state.compile(targets, false, true)).toBe(false);
  });
});
