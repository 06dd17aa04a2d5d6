import { describe, expect, test } from 'vitest';
import type { TableModel } from '#app/model/tableModel.ts';
import { standingWords } from '#app/structures/library.ts';
import { lackWords, threadForIt } from '#app/structures/threadForIt.ts';
import { beginSample } from '#document/beginSample.ts';
import { setNotes } from '#document/commands/sampleCommands.ts';
import { ownWarp } from '#document/sampleOnWarp.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { warpedLoomOf } from '#document/warpedLoom.ts';
import { distinctEnds, distinctPicks } from '#engine/draft/distinct.ts';
import { type Drawdown, drawdownFromRows } from '#engine/draft/drawdown.ts';
import { sameDrawdown, tile } from '#engine/draft/transformDrawdown.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { readLoomCard, readYarnCard } from '#io/cardFiles.ts';
import { card, demand } from '#tests/presets/presetFiles.ts';

const loom = card('looms', 'p8', readLoomCard);
const yarn = card('yarns', 'cotton-8-2', readYarnCard);

/** Tied shaft by shaft, odd and even beside, and noted so. */
function laid() {
  const warp = {
    ...demand(ownWarp({ loom, warpYarns: [yarn], ends: 96, endsPerCm: 8, threading: '1-8' })),
    notes: 'Each shaft by its own treadle.',
  };
  const samples = createSampleStore(demand(beginSample({ name: 'quay', on: { loom, warp }, weft: yarn, picks: 32 })));
  samples.dispatch(setNotes('For the harbour office.'));
  const said: string[] = [];
  const table = {
    samples,
    stock: { getState: () => ({ cards: [] }) },
    ui: { getState: () => ({ say: (words: string) => said.push(words) }) },
  } as unknown as TableModel;
  return { table, samples, said };
}

const weaves = (samples: ReturnType<typeof laid>['samples'], drawdown: Drawdown) =>
  sameDrawdown(toClothProblem(samples.state.getState().sample).problem.drawdown, tile(drawdown, 32, 96));

describe('a warp threaded or tied for a weave', () => {
  test('keeps its draw where ties alone are enough, and one treadle makes what took four', () => {
    const { table, samples, said } = laid();
    const before = samples.state.getState().sample;
    const { drawdown } = structureOf({ rule: 'satin', ends: 8, move: 3, face: 'warp' });
    threadForIt(table, { drawdown, wefts: [undefined], what: '8-end satin' });
    const { sample } = samples.state.getState();
    expect(sample.warp.threading).toEqual(before.warp.threading);
    expect(sample.picks.every(({ lift }) => lift.length === 1)).toBe(true);
    expect(weaves(samples, drawdown)).toBe(true);
    // The two treadles that are left weave plain hems.
    expect(sample.warp.tieUp?.slice(8)).toEqual([
      [1, 3, 5, 7],
      [2, 4, 6, 8],
    ]);
    expect(standingOn(warpedLoomOf(sample), structureOf({ rule: 'plain' })).kind).toBe('here');
    expect(sample.warp.notes).toBeUndefined();
    expect(sample.notes).toBe('Before it was tied for 8-end satin: For the harbour office.');
    expect(said).toEqual([
      expect.stringMatching(/^The treadles are tied.*left behind: “Each shaft by its own treadle.”/),
    ]);
    samples.undo();
    expect(samples.state.getState().sample).toEqual(before);
  });

  test('is drawn in where the draw cannot weave it, its own notes marked once', () => {
    const { table, samples, said } = laid();
    const { drawdown } = structureOf({ rule: 'satin', ends: 5, move: 2, face: 'weft' });
    threadForIt(table, { drawdown, wefts: [undefined], what: 'sateen' });
    expect(said[0]).toMatch(/^The warp is drawn in for sateen on 5 shafts/);
    // Straight over five, odd and even ends share every shaft: no plain, and no ties for it.
    expect(samples.state.getState().sample.warp.tieUp?.slice(5).flat()).toEqual([]);
    expect(weaves(samples, drawdown)).toBe(true);
    threadForIt(table, {
      drawdown: structureOf({ rule: 'satin', ends: 8, move: 3, face: 'warp' }).drawdown,
      wefts: [undefined],
      what: 'satin',
    });
    expect(samples.state.getState().sample.notes).toBe('Before it was drawn in for sateen: For the harbour office.');
  });

  test('is told in the library where more treadles are pressed at once than a weaver has feet', () => {
    const { sample } = laid().samples.state.getState();
    const words = (ends: number, face: 'warp' | 'weft') =>
      standingWords(standingOn(warpedLoomOf(sample), structureOf({ rule: 'satin', ends, move: 3, face })), String);
    // Seven shafts of eight rise: odd or even ones by one treadle, three more by their own.
    expect(words(8, 'warp')).toBe('weaves here, 4 treadles at once');
    expect(words(8, 'weft')).toBe('weaves here');
  });

  test('stays as it is, notes and all, where two feet weave it by the treadles that are tied', () => {
    const { table, samples } = laid();
    const { warp, notes } = samples.state.getState().sample;
    const { drawdown } = structureOf({ rule: 'plain' });
    threadForIt(table, { drawdown, wefts: [undefined], what: 'plain' });
    expect(samples.state.getState().sample).toMatchObject({ warp, notes });
  });

  test('is tied for two feet where there are more lifts than treadles: the ties of summer and winter, and its blocks', () => {
    const { table, samples } = laid();
    // Fourteen lifts: tabby by both ties against all six blocks, and each tie with each block.
    const blocks = [3, 4, 5, 6, 7, 8];
    const lifts = [[1, 2], blocks, ...blocks.flatMap((block) => [1, 2].map((tie) => [tie, block]))];
    const drawdown = drawdownFromRows(
      lifts.map((lift) => [1, 2, 3, 4, 5, 6, 7, 8].map((shaft) => Number(lift.includes(shaft)))),
    );
    threadForIt(table, { drawdown, wefts: [undefined], what: 'summer and winter' });
    const { picks, warp } = samples.state.getState().sample;
    expect(weaves(samples, drawdown)).toBe(true);
    expect(Math.max(...picks.map(({ lift }) => lift.length))).toBe(2);
    // One foot for the tie, one for the block (common practice): nine treadles do.
    expect(warp.tieUp?.filter((shafts) => shafts.length > 0).length).toBeLessThanOrEqual(10);
  });

  test('is told what lacks: lifts that ten treadles do not make by ones and twos', () => {
    const { drawdown } = structureOf({ rule: 'shadedSatin', ends: 8, move: 3, from: 1, to: 7, repeats: 1 });
    const needs = {
      shaftsNeeded: distinctEnds(drawdown).firstOf.length,
      liftsNeeded: distinctPicks(drawdown).firstOf.length,
      drawdown,
    };
    // Seven satins of eight picks each.
    expect(lackWords({ loom }, needs)).toMatch(/it takes 56 different lifts: no ties .* 10 treadles .*A dobby/);
    expect(lackWords({ loom: { ...loom, control: { kind: 'directLift' } } }, needs)).toBeUndefined();
  });
});
