import { describe, expect, it } from 'vitest';
import { alike, versionOnTable } from '#app/model/sameSample.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import { keepVersion } from '#document/commands/versionCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { smallSample } from '#tests/document/smallSample.ts';

describe('the version on the table', () => {
  it('is told again after a change and its undo, and after the same is set by hand', () => {
    const store = createSampleStore(smallSample());
    const current = () => versionOnTable(store.state.getState().sample);
    store.dispatch(keepVersion({ name: 'as woven' }));
    const kept = current();
    expect(store.state.getState().sample.versions[kept].name).toBe('as woven');
    store.dispatch(setBeat({ picks: { from: 3, to: 5 }, firmness: 0.2 }));
    expect(current()).toBe(-1);
    store.undo();
    expect(current()).toBe(kept);
    // Pick 8 has a beat of 0.4.
    store.dispatch(setBeat({ picks: { from: 8, to: 8 }, firmness: 0.9 }));
    store.dispatch(setBeat({ picks: { from: 8, to: 8 }, firmness: 0.4 }));
    expect(current()).toBe(kept);
  });

  it('is told of a sample read from a file, which shares nothing with its versions', () => {
    const store = createSampleStore(smallSample());
    store.dispatch(keepVersion({ name: 'as woven' }));
    const read = JSON.parse(JSON.stringify(store.state.getState().sample));
    expect(versionOnTable(read)).toBe(store.state.getState().sample.versions.length - 1);
  });
});

describe('being alike', () => {
  it('is to hold the same, whatever is shared', () => {
    expect(alike({ a: [1, { b: 2 }] }, { a: [1, { b: 2 }] })).toBe(true);
    expect(alike({ a: undefined, b: 1 }, { b: 1 })).toBe(true);
    expect(alike({ a: 1 }, { b: 1 })).toBe(false);
    expect(alike([1, 2], [1, 2, 3])).toBe(false);
    expect(alike([], {})).toBe(false);
    expect(alike({ a: null }, { a: {} })).toBe(false);
  });
});
