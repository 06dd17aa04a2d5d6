import { describe, expect, it } from 'vitest';
import { mendLoomFault, noteLoomFault } from '#document/commands/loomCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { sample } from '#tests/presets/presetFiles.ts';

describe('faults of a loom', () => {
  it('are noted and struck off, each as one step to undo', () => {
    const store = createSampleStore(sample('net-store-towel'));
    const before = store.state.getState().sample;
    const now = () => store.state.getState().sample.loom.knownFaults;
    expect(store.dispatch(noteLoomFault({ treadle: 2, effect: 'movesNothing', note: 'untied' }))).toBeNull();
    expect(store.dispatch(noteLoomFault({ end: 7, effect: 'staysUp', note: 'caught' }))).toBeNull();
    expect(store.dispatch(mendLoomFault(1))).toBeNull();
    expect(now()).toEqual([{ end: 7, effect: 'staysUp', note: 'caught' }]);
    store.dispatch(mendLoomFault(1));
    expect(now()).toBeUndefined();
    for (let step = 0; step < 4; step++) store.undo();
    expect(store.state.getState().sample).toEqual(before);
  });

  it('are refused where the loom has no such part, or the part cannot do so', () => {
    const store = createSampleStore(sample('net-store-towel'));
    const refused = (fault: Parameters<typeof noteLoomFault>[0]) => store.dispatch(noteLoomFault(fault))?.message;
    expect(refused({ shaft: 9, effect: 'staysUp', note: '' })).toMatch(/names shaft 9, but the loom has 8/);
    expect(refused({ treadle: 11, effect: 'movesNothing', note: '' })).toMatch(/names treadle 11, but the loom has 10/);
    expect(refused({ shaft: 2, effect: 'movesNothing', note: '' })).toMatch(/moves nothing/);
    expect(store.dispatch(mendLoomFault(1))?.message).toMatch(/has no fault 1/);
  });
});
