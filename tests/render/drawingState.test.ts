import type * as THREE from 'three';
import { describe, expect, it } from 'vitest';
import { DrawingState } from '#render/drawingState.ts';
import type { PictureDrawer } from '#render/pictureDrawer.ts';
import type { PictureTargets } from '#render/pictureTargets.ts';
import { Feature } from '#render/programFeatures.ts';
import { ProgramSets } from '#render/programSets.ts';

const LIGHT = ['lightWalk', 'columns', 'lightField'];
const HAIR = ['hairMet', 'hairPlace', 'hair', 'whole'];
const HAIR_LIGHT = ['lightHair', 'lightColumns', 'hairField'];
const QUICK = ['walk', 'shade', 'present', 'farClass', 'farCloth'];
const NAMES = [...QUICK, ...LIGHT, ...HAIR, ...HAIR_LIGHT];
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
  const programs = {
    isApart: () => false,
    sets: new ProgramSets(),
    ...Object.fromEntries(NAMES.map((name) => [name, pass(name)])),
  };
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
  it('are compiled in the order of their need, those of the first picture together', async () => {
    const { drawer, begun, finish } = handCompiled();
    const state = new DrawingState(drawer, 'full');
    expect(state.compile(targets, true, 0)).toBe(false);
    expect(begun).toEqual(QUICK);
    await finish(...QUICK);
    expect(state.compile(targets, true, 0)).toBe(true);
    expect(begun.slice(QUICK.length)).toEqual(LIGHT);
    expect(state.fullReady(0)).toBe(false);
    await finish(...LIGHT);
    expect(state.fullReady(0)).toBe(true);
    state.compile(targets, true, 0);
    expect(begun.length).toBe(QUICK.length + LIGHT.length);
  });

  it('are not believed ready where the context they were compiled in is lost', async () => {
    const { drawer, begun, finish } = handCompiled();
    const state = new DrawingState(drawer, 'full');
    state.compile(targets, false, 0);
    await finish(...QUICK);
    // While moving, nothing waits for the light's rays.
    expect(state.compile(targets, false, 0)).toBe(true);
    expect(begun.length).toBe(QUICK.length);
    state.compile(targets, true, 0);
    state.forget();
    await finish(...LIGHT);
    expect(state.fullReady(0)).toBe(false);
    expect(state.compile(targets, true, 0)).toBe(false);
  });

  it('are fuller ones until their own are compiled, and lean ones do not stand in for fuller', async () => {
    const { drawer, begun, finish } = handCompiled();
    const { sets } = drawer.programs;
    const state = new DrawingState(drawer, 'full');
    state.compile(targets, false, Feature.hair);
    await finish(...QUICK, ...HAIR);
    state.compile(targets, true, Feature.hair);
    await finish(...LIGHT, ...HAIR_LIGHT);
    const before = begun.length;
    // A smooth cloth is drawn at once while its own programs are compiled.
    expect(state.compile(targets, true, 0)).toBe(true);
    expect(begun.slice(before)).toEqual(QUICK);
    expect(state.fullReady(0)).toBe(true);
    expect(sets.readyFor(0, true)).toBe(Feature.hair);
    await finish(...QUICK);
    // With light the fuller ones go on until the lean ones have theirs.
    expect([sets.readyFor(0, false), sets.readyFor(0, true)]).toEqual([0, Feature.hair]);
    state.compile(targets, true, 0);
    await finish(...LIGHT);
    expect(sets.readyFor(0, true)).toBe(0);
    expect(state.compile(targets, true, Feature.mesh)).toBe(false);
  });
});

describe('sets of features', () => {
  it('make way when there are too many, the one asked for longest ago first', () => {
    const left: (readonly number[])[] = [];
    const sets = new ProgramSets((stay) => left.push(stay));
    for (let set = 0; set < 8; set++) sets.ask(set).quick = true;
    sets.ask(0);
    expect(left).toEqual([]);
    sets.ask(8);
    expect(left).toEqual([[2, 3, 4, 5, 6, 7, 0, 8]]);
    expect(sets.readyFor(0, false)).toBe(0);
    // What only the first had is drawn by the leanest that has more.
    expect(sets.readyFor(1, false)).toBe(3);
  });
});
