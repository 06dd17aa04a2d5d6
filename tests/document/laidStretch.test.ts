import { expect, it } from 'vitest';
import { setLaidStretch } from '#document/commands/yarnCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { smallSample } from './smallSample.ts';

it('how far a yarn is laid stretched is said, kept in the file, taken back, and refused where no yarn goes so far', () => {
  const start = smallSample();
  const yarn = Object.keys(start.yarns)[0];
  const store = createSampleStore(start);
  const now = () => store.state.getState().sample;
  expect(store.dispatch(setLaidStretch({ yarn, percent: 30 }))).toBeNull();
  expect(now().yarns[yarn].laidStretchPercent).toBe(30);
  expect(readSampleText(writeSampleText(now()))).toEqual({ ok: true, value: now() });
  expect(store.dispatch(setLaidStretch({ yarn, percent: 900 }))?.message).toMatch(/400 %/);
  expect(store.dispatch(setLaidStretch({ yarn: 'none', percent: 30 }))?.message).toMatch(/no yarn/);
  expect(now().yarns[yarn].laidStretchPercent).toBe(30);
  expect(store.dispatch(setLaidStretch({ yarn, percent: null }))).toBeNull();
  expect(now()).toEqual(start);
});
