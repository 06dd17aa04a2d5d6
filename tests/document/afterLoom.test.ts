import { describe, expect, test } from 'vitest';
import { addTreatment, changeTreatment, moveTreatment, removeTreatment } from '#document/commands/afterLoomCommands.ts';
import { keepVersion, restoreVersion } from '#document/commands/versionCommands.ts';
import { MOST_TREATMENTS, type Treatment } from '#document/schema/afterLoomSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { smallSample, smallSampleFile } from './smallSample.ts';

const dye: Treatment = { kind: 'overdye', dye: 'acid', colour: '#1f3a5f', depth: 1 };
const brush: Treatment = { kind: 'brush', side: 'face', strength: 'raised' };
const clip: Treatment = { kind: 'clip', side: 'back', threads: 'weft', atLeast: 4, leaveMm: 2, part: { fromEnd: 3 } };
const outline: Treatment = {
  kind: 'cut',
  line: [
    { end: 2.5, pick: 1 },
    { end: 20, pick: 1.5 },
    { end: 11, pick: 11 },
  ],
  closed: true,
  what: 'through',
  keep: 'inside',
};
const foil: Treatment = { kind: 'foil', side: 'face', colour: '#d9b24c', share: 0.3 };
const bend: Treatment = { kind: 'bend', pick: 2, toPick: 4, end: 5.5, angleDegrees: 60, radiusMm: 8, side: 'face' };
const all = [dye, brush, clip, outline, foil];

describe('what is done after the loom', () => {
  test('may be a bend by hand, which is checked as it is added and undone by its name', () => {
    const store = createSampleStore(smallSample());
    expect(store.dispatch(addTreatment(bend))).toBeNull();
    const read = readSampleText(writeSampleText(store.state.getState().sample));
    expect(read.ok && read.value.afterLoom).toEqual([bend]);
    expect(store.state.getState().undoName).toBe('add the bend of picks 2–4');
    expect(store.dispatch(changeTreatment({ place: 1, treatment: { ...bend, toPick: 1 } }))?.message).toMatch(
      /ends before it begins. Put the smaller pick first/,
    );
    expect(store.dispatch(changeTreatment({ place: 1, treatment: { ...bend, angleDegrees: 120 } }))?.message).toMatch(
      /between 1 and 90/,
    );
    store.undo();
    expect(store.state.getState().sample.afterLoom).toBeUndefined();
  });

  test('is kept in order, written to the file and read back', () => {
    const store = createSampleStore(smallSample());
    for (const treatment of all) expect(store.dispatch(addTreatment(treatment))).toBeNull();
    const { sample } = store.state.getState();
    expect(sample.afterLoom).toEqual(all);
    const read = readSampleText(writeSampleText(sample));
    expect(read.ok && read.value.afterLoom).toEqual(all);
  });

  test('is changed, done in another order and left out, each step undone by its name', () => {
    const store = createSampleStore(smallSample());
    for (const treatment of all) store.dispatch(addTreatment(treatment));
    const { state } = store;
    store.dispatch(moveTreatment({ place: 5, to: 1 }));
    expect(state.getState().sample.afterLoom?.map(({ kind }) => kind)).toEqual([
      'foil',
      'overdye',
      'brush',
      'clip',
      'cut',
    ]);
    expect(state.getState().undoName).toBe('do foil on the face sooner');
    store.dispatch(changeTreatment({ place: 3, treatment: { ...brush, side: 'both' } }));
    expect(state.getState().sample.afterLoom?.[2]).toEqual({ ...brush, side: 'both' });
    for (let k = 0; k < 5; k++) store.dispatch(removeTreatment(1));
    expect(state.getState().sample.afterLoom).toBeUndefined();
    for (let k = 0; k < 7; k++) store.undo();
    expect(state.getState().sample.afterLoom).toEqual(all);
  });

  test('goes with the version that was kept', () => {
    const store = createSampleStore(smallSample());
    store.dispatch(addTreatment(dye));
    store.dispatch(keepVersion({ name: 'dyed' }));
    const dyed = store.state.getState().sample.versions.length;
    store.dispatch(removeTreatment(1));
    const read = readSampleText(writeSampleText(store.state.getState().sample));
    expect(read.ok && read.value.versions[dyed - 1].body.afterLoom).toEqual([dye]);
    store.dispatch(restoreVersion(dyed));
    expect(store.state.getState().sample.afterLoom).toEqual([dye]);
  });

  test.each([
    ['a dye no one sells', { ...dye, dye: 'onion' }, /Treatment 1, dye: is "onion"/],
    ['a colour in words', { ...dye, colour: 'kelp' }, /Treatment 1, colour: is not a colour/],
    ['floats of one crossing', { ...clip, atLeast: 1 }, /Treatment 1, atLeast: is not a whole number between 2/],
    ['a part that ends before it begins', { ...clip, part: { fromPick: 9, toPick: 4 } }, /ends before it begins/],
    ['a cut through that keeps nothing', { ...outline, keep: undefined }, /does not say what stays/],
    ['left of an outline', { ...outline, keep: 'left' }, /does not say what stays/],
    ['an outline of two places', { ...outline, line: outline.line.slice(0, 2) }, /only two places/],
    ['a share of nothing', { ...foil, share: 0 }, /Treatment 1, share: is not between 0.01 and 1/],
  ])('refuses %s, in the file and by hand', (_what, treatment, message) => {
    const refusal = createSampleStore(smallSample()).dispatch(addTreatment(treatment as Treatment));
    expect(refusal?.message).toMatch(message);
    const read = readSampleText(JSON.stringify({ ...smallSampleFile(), afterLoom: [treatment] }));
    expect(read.ok ? '' : read.problems[0].message).toMatch(message);
  });

  test('refuses more than a cloth can bear, and places that are not there', () => {
    const store = createSampleStore(smallSample());
    for (let k = 0; k < MOST_TREATMENTS; k++) store.dispatch(addTreatment(brush));
    expect(store.dispatch(addTreatment(brush))?.message).toMatch(/has 32 treatments already/);
    expect(store.dispatch(removeTreatment(33))?.message).toMatch(/has no treatment 33/);
    expect(store.dispatch(moveTreatment({ place: 1, to: 0 }))?.message).toMatch(/has no treatment 0/);
  });

  test('a file of version 1 is read as one in which nothing was done', () => {
    const read = readSampleText(JSON.stringify({ ...smallSampleFile(), version: 1 }));
    expect(read.ok && read.value.afterLoom).toBeUndefined();
    expect(read.ok).toBe(true);
  });
});
