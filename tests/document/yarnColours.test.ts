import { describe, expect, test } from 'vitest';
import { setYarnColour, setYarnColours } from '#document/commands/yarnCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import type { YarnColours } from '#engine/yarn/yarnColours.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { smallSample } from './smallSample.ts';

const stops = [
  { atMm: 0, colour: '#2f5f8c' },
  { atMm: 60, colour: '#e6e0d0' },
];
const several: readonly YarnColours[] = [
  { of: 'plies', plyColours: ['#2f5f8c', '#e6e0d0'] },
  {
    of: 'fibres',
    blend: [
      { colour: '#2f5f8c', share: 0.7 },
      { colour: '#e6e0d0', share: 0.3 },
    ],
  },
  { of: 'length', colourRepeat: { lengthMm: 100, startMm: 20, bleedMm: 4, stops } },
];

describe('colours of a yarn of the sample', () => {
  test.each(several)('$of: chosen, kept in the file, dyed over in one colour, undone', (colours) => {
    const store = createSampleStore(smallSample());
    const kelp = () => store.state.getState().sample.yarns.kelp;
    const before = kelp();
    const { of: _of, ...field } = colours;
    expect(store.dispatch(setYarnColours({ yarn: 'kelp', colours }))).toBeNull();
    expect(kelp()).toMatchObject(field);
    const read = readSampleText(writeSampleText(store.state.getState().sample));
    expect(read.ok && read.value.yarns.kelp).toEqual(kelp());
    expect(store.dispatch(setYarnColour({ yarn: 'kelp', coneColour: '#a8502f' }))).toBeNull();
    for (const key of Object.keys(field)) expect(kelp()).not.toHaveProperty(key);
    store.undo();
    expect(kelp()).toMatchObject(field);
    store.undo();
    expect(kelp()).toEqual(before);
  });

  test('of one kind take the place of those of another', () => {
    const store = createSampleStore(smallSample());
    for (const colours of several) expect(store.dispatch(setYarnColours({ yarn: 'kelp', colours }))).toBeNull();
    const { kelp } = store.state.getState().sample.yarns;
    expect([kelp.plyColours, kelp.blend, kelp.colourRepeat !== undefined]).toEqual([undefined, undefined, true]);
  });

  test.each([
    [{ of: 'plies', plyColours: ['#2f5f8c', '#e6e0d0', '#a8502f'] }, /more plies than it has.*leave colours out/i],
    [{ of: 'plies', plyColours: ['#2f5f8c'] }, /fewer than two colours.*give two/i],
    [
      {
        of: 'fibres',
        blend: [
          { colour: '#2f5f8c', share: 0.5 },
          { colour: '#e6e0d0', share: 0.2 },
        ],
      },
      /make up 1/i,
    ],
    [{ of: 'length', colourRepeat: { lengthMm: 60, startMm: 0, stops } }, /stop beyond its length.*lengthen/i],
    [{ of: 'one', coneColour: 'rust' }, /is not a colour.*#rrggbb/i],
  ] as const)('%j is refused, and changes nothing', (colours, words) => {
    const store = createSampleStore(smallSample());
    const before = store.state.getState().sample;
    expect(store.dispatch(setYarnColours({ yarn: 'kelp', colours }))?.message).toMatch(words);
    expect(store.state.getState().sample).toBe(before);
  });

  test('of a yarn that is not there are refused', () => {
    const refusal = createSampleStore(smallSample()).dispatch(setYarnColours({ yarn: 'mud', colours: several[0] }));
    expect(refusal?.message).toMatch(/no yarn "mud".*choose one/i);
  });
});
