import { describe, expect, test } from 'vitest';
import { setBeat, setBeatTrace } from '#document/commands/beatCommands.ts';
import { setPassYarn } from '#document/commands/passCommands.ts';
import { deletePicks } from '#document/commands/pickCommands.ts';
import { renameSample } from '#document/commands/sampleCommands.ts';
import { deleteVersion, keepVersion, loadSample, restoreVersion } from '#document/commands/versionCommands.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { smallSample } from './smallSample.ts';

function open() {
  const sample = smallSample();
  const store = createSampleStore(sample);
  return { store, sample, now: () => store.state.getState() };
}

describe('the sample store', () => {
  test('a command is one named undo step, and undo and redo go back and forth between the same samples', () => {
    const { store, sample, now } = open();
    expect(store.dispatch(setBeat({ picks: { from: 4, to: 12 }, firmness: 0.9 }))).toBeNull();
    expect(now().undoName).toBe('beat firmer on picks 4–12');
    const after = now().sample;
    expect(after.picks[3].beat).toBe(0.9);
    expect(after.picks[2]).toBe(sample.picks[2]);
    expect(store.undo()).toBe(true);
    expect(now().sample).toEqual(sample);
    expect(now()).toMatchObject({ undoName: null, redoName: 'beat firmer on picks 4–12', revision: 2 });
    expect(store.redo()).toBe(true);
    expect(now().sample).toEqual(after);
    expect(store.redo()).toBe(false);
  });

  test('a drag of many moves is one step', () => {
    const { store, sample, now } = open();
    store.begin('drag the beat');
    for (let i = 0; i < 50; i++) store.dispatch(setBeat({ picks: { from: 2, to: 6 }, firmness: i / 50 }));
    expect(now().gesture).toBe('drag the beat');
    store.commit();
    expect(now()).toMatchObject({ gesture: null, undoName: 'drag the beat' });
    expect(store.historySize().steps).toBe(1);
    store.undo();
    expect(now().sample).toEqual(sample);
  });

  test('a cancelled gesture leaves nothing behind, and undo within a gesture cancels it before undoing', () => {
    const { store, sample, now } = open();
    store.begin('drag');
    store.dispatch(setBeat({ firmness: 0.1 }));
    store.cancel();
    expect(now().sample).toBe(sample);
    expect(store.historySize().steps).toBe(0);

    store.dispatch(renameSample('slipway'));
    store.begin('drag');
    store.dispatch(setBeat({ firmness: 0.1 }));
    store.undo();
    expect(now().sample).toEqual(sample);
    expect(now().redoName).toBe('call the sample "slipway"');
  });

  test('a refused command changes nothing and says why, where and what to do', () => {
    const { store, sample, now } = open();
    const refusal = store.dispatch(setPassYarn({ picks: { from: 4, to: 40 }, strands: ['kelp'] }));
    expect(refusal?.message).toBe('Picks: picks 4–40 cannot be chosen. Choose within picks 1–12.');
    expect(store.dispatch(setPassYarn({ picks: { from: 4, to: 4 }, strands: ['barnacle'] }))?.message).toMatch(
      /no yarn "barnacle"/,
    );
    expect(now()).toMatchObject({ revision: 0, undoName: null });
    expect(now().sample).toBe(sample);
  });

  test('a command that alters nothing makes no step and keeps what can be redone', () => {
    const { store, now } = open();
    store.dispatch(renameSample('slipway'));
    store.undo();
    store.dispatch(setBeat({ firmness: 0.7 }));
    store.dispatch(setPassYarn({ picks: { from: 1, to: 3 }, strands: ['kelp'] }));
    expect(now().redoName).toBe('call the sample "slipway"');
    expect(store.historySize().steps).toBe(0);
  });

  test('the sample is frozen through and through', () => {
    const { store, now } = open();
    store.dispatch(setBeat({ picks: { from: 1, to: 2 }, firmness: 0.2 }));
    store.undo();
    const sample = now().sample;
    expect(() => sample.picks[0].lift.push(3)).toThrow(TypeError);
    expect(() => {
      sample.beat.firmness = 0;
    }).toThrow(TypeError);
  });

  test('kept versions: keep, change, take up again, discard', () => {
    const { store, sample, now } = open();
    store.dispatch(keepVersion({ name: 'first thought' }));
    store.dispatch(deletePicks({ from: 1, to: 5 }));
    expect(now().sample.picks).toHaveLength(7);
    expect(now().sample.versions[1].body.picks).toBe(sample.picks);
    expect(store.dispatch(keepVersion({ name: 'first thought' }))?.message).toMatch(/already/);
    store.dispatch(restoreVersion(2));
    expect(now().sample.picks).toEqual(sample.picks);
    expect(now().sample.versions).toHaveLength(2);
    store.dispatch(restoreVersion(1));
    expect(now().sample.beat.firmness).toBe(0.3);
    store.dispatch(deleteVersion(1));
    expect(now().sample.versions.map(({ name }) => name)).toEqual(['first thought']);
    while (store.undo());
    expect(now().sample).toEqual(sample);
  });

  test('another sample loaded can be undone', () => {
    const { store, sample, now } = open();
    const other = { ...smallSample(), name: 'breakwater', notes: 'rough', versions: [] };
    store.dispatch(loadSample(other));
    expect(now().sample).toEqual(other);
    expect(now().undoName).toBe('open "breakwater"');
    store.undo();
    expect(now().sample).toEqual(sample);
  });
});

/** Two and a half metres at 16 picks per cm: longer than any one sample that the loom cards allow time for. */
const LARGE_PICKS = 4_000;

describe('history', () => {
  function large(): Sample {
    const sample = smallSample();
    const picks = Array.from({ length: LARGE_PICKS }, (_, i) => sample.picks[i % 2]);
    return { ...sample, picks, versions: [] };
  }

  test('250 edits of every pick of a 4 000-pick sample leave at least 200 steps to undo', () => {
    const sample = large();
    const store = createSampleStore(sample);
    const shelf = ['kelp', 'gull', 'tar', 'rope'];
    for (let i = 0; i < 250; i++) {
      store.dispatch(setPassYarn({ picks: { from: 1, to: LARGE_PICKS }, strands: [shelf[(i + 1) % 4]] }));
    }
    let undone = 0;
    while (undone < 200 && store.undo()) undone++;
    expect(undone).toBe(200);
    expect(store.state.getState().sample.picks[0].passes[0].strands).toEqual([shelf[50 % 4]]);
  }, 240_000);

  test('keeps within its byte budget by forgetting the oldest steps, never the newest', () => {
    const budget = 200_000;
    const store = createSampleStore(large(), { bytes: budget, steps: 2000 });
    for (let i = 0; i < 20; i++) {
      const firmness = Array.from({ length: 1000 }, (_, j) => ((i + j) % 97) / 97);
      store.dispatch(setBeatTrace({ from: 1, firmness }));
    }
    const { steps, bytes } = store.historySize();
    expect(bytes).toBeLessThanOrEqual(budget);
    expect(steps).toBeLessThan(20);
    expect(steps).toBeGreaterThan(2);
  });

  test('a single step larger than the budget can still be undone', () => {
    const sample = large();
    const store = createSampleStore(sample, { bytes: 100, steps: 2000 });
    store.dispatch(setBeat({ picks: { from: 1, to: 500 }, firmness: 0.1 }));
    expect(store.undo()).toBe(true);
    expect(store.state.getState().sample).toEqual(sample);
  });
});
