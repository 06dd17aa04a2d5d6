import { describe, expect, it } from 'vitest';
import { unwind, windWith } from '#document/commands/windCommands.ts';
import { addYarn, setYarnLeft } from '#document/commands/yarnCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { readYarnCard } from '#io/cardFiles.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { card } from '#tests/presets/presetFiles.ts';
import { smallSample } from './smallSample.ts';

const stem = card('yarns', 'chenille-stem-6', readYarnCard);
const picks = { from: 4, to: 8 };

function begun() {
  const store = createSampleStore(smallSample());
  const now = () => store.state.getState().sample;
  const strands = () => now().picks.map(({ passes }) => passes.map((pass) => pass.strands.join('+')).join(', '));
  return { store, now, strands };
}

describe('yarns wound together', () => {
  it('one more is wound with every weft that runs across, in those picks alone, and what is laid in stays', () => {
    const { store, now, strands } = begun();
    const before = strands();
    expect(store.dispatch(windWith({ picks, yarn: 'tar' }))).toBeNull();
    expect(strands().slice(3, 8)).toEqual(['kelp+tar', 'kelp+tar, rope', 'kelp+tar', 'gull+tar', 'gull+rope+tar']);
    expect([...strands().slice(0, 3), ...strands().slice(8)]).toEqual([...before.slice(0, 3), ...before.slice(8)]);
    expect(store.state.getState().undoName).toBe('wind tar into picks 4–8');
    store.undo();
    expect(now()).toEqual(smallSample());
  });

  it('with one weft only, where that is named, over part of the width too', () => {
    const { store, strands } = begun();
    store.dispatch(windWith({ picks, yarn: 'tar', beside: 'rope' }));
    expect(strands().slice(3, 8)).toEqual(['kelp', 'kelp, rope+tar', 'kelp', 'gull', 'gull+rope+tar']);
  });

  it('taken out it leaves the sample as it was, and a doubled yarn loses one strand at a time', () => {
    const { store, now, strands } = begun();
    store.dispatch(windWith({ picks, yarn: 'tar' }));
    expect(store.dispatch(unwind({ picks, yarn: 'tar' }))).toBeNull();
    expect(now()).toEqual(smallSample());
    store.dispatch(windWith({ picks: { from: 1, to: 1 }, yarn: 'kelp' }));
    store.dispatch(windWith({ picks: { from: 1, to: 1 }, yarn: 'kelp' }));
    expect(strands()[0]).toBe('kelp+kelp+kelp');
    store.dispatch(unwind({ picks: { from: 1, to: 1 }, yarn: 'kelp' }));
    expect(strands()[0]).toBe('kelp+kelp');
  });

  it('what is stiff has the pick cut, and taken out again it turns', () => {
    const { store, now } = begun();
    store.dispatch(addYarn(stem));
    store.dispatch(windWith({ picks: { from: 1, to: 1 }, yarn: stem.id }));
    expect(now().picks[0].passes[0]).toMatchObject({ ends: 'cut' });
    store.dispatch(unwind({ picks: { from: 1, to: 1 }, yarn: stem.id }));
    expect(now().picks).toEqual(smallSample().picks);
  });

  // Counts add in the direct system: tex is grams a kilometre (ISO 1144), and strands lie at the same length.
  it('the thread weighs what its strands weigh, and its file says the same when read again', () => {
    const { store, now } = begun();
    store.dispatch(windWith({ picks, yarn: 'rope' }));
    const { problem } = toClothProblem(now());
    const row = Array.from(problem.rowPick).indexOf(3);
    expect(problem.yarns[problem.rowYarn[row]].tex).toBeCloseTo(147.6 + 295.3, 6);
    const read = readSampleText(writeSampleText(now()));
    expect(read.ok && read.value.picks).toEqual(now().picks);
  });

  it('says why not: a yarn not on the shelf, nothing to wind it with, too short, too many, none to take out', () => {
    const { store, now } = begun();
    const told = (command: Parameters<typeof store.dispatch>[0]) => store.dispatch(command)?.message ?? '';
    expect(told(windWith({ picks, yarn: 'eel' }))).toMatch(/no yarn "eel"/u);
    expect(told(windWith({ picks: { from: 1, to: 2 }, yarn: 'rope', beside: 'gull' }))).toMatch(
      /no weft to wind it with/u,
    );
    expect(told(unwind({ picks: { from: 1, to: 2 }, yarn: 'kelp' }))).toMatch(/wound with another yarn/u);
    expect(now()).toEqual(smallSample());
    store.dispatch(setYarnLeft({ yarn: 'rope', left: { metres: 0.02 } }));
    expect(told(windWith({ picks, yarn: 'rope' }))).toMatch(/long, and the web/u);
    for (let count = 2; count <= 16; count++) store.dispatch(windWith({ picks: { from: 1, to: 1 }, yarn: 'kelp' }));
    expect(now().picks[0].passes[0].strands).toHaveLength(16);
    expect(told(windWith({ picks: { from: 1, to: 1 }, yarn: 'kelp' }))).toMatch(/16 strands/u);
  });
});
