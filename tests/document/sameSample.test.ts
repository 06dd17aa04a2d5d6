import { describe, expect, it } from 'vitest';
import { setBeat } from '#document/commands/beatCommands.ts';
import { keepVersion, restoreVersion } from '#document/commands/versionCommands.ts';
import { setMeasured } from '#document/commands/weavingCommands.ts';
import { alike, versionOnTable } from '#document/sameSample.ts';
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

  it('is still the one that a swatch was measured of, and keeps what was measured when another is taken up', () => {
    const store = createSampleStore(smallSample());
    const now = () => store.state.getState().sample;
    store.dispatch(keepVersion({ name: 'as woven' }));
    store.dispatch(setBeat({ firmness: 0.35 }));
    store.dispatch(keepVersion({ name: 'loose' }));
    const [woven, loose] = [now().versions.length - 1, now().versions.length];
    store.dispatch(setMeasured('offLoom', { widthMm: 57 }));
    expect(now().versions[versionOnTable(now())].name).toBe('loose');
    store.dispatch(restoreVersion(woven));
    expect(now().measured ?? []).toEqual([]);
    store.dispatch(restoreVersion(loose));
    expect(now().measured).toEqual([{ stage: 'offLoom', widthMm: 57 }]);
    store.dispatch(setMeasured('offLoom', null));
    expect(now().measured).toBeUndefined();
    expect(now().versions[versionOnTable(now())].name).toBe('loose');
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
