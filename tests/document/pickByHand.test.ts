import { describe, expect, test } from 'vitest';
import { nextInOrder, orderLength, sameLift } from '#document/commands/nextPick.ts';
import { copyPicks, deletePicks, insertPicks, liftOne, oppositeLift } from '#document/commands/pickCommands.ts';
import type { WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { smallSample } from './smallSample.ts';

function pick(lift: number[], yarn = 'kelp', enters: 'left' | 'right' = 'left'): WeftPick {
  return { lift, passes: [{ strands: [yarn], enters, ends: 'selvedge' }] };
}

function woven(...picks: WeftPick[]): Sample {
  return { ...smallSample(), picks };
}

const sidesOf = (sample: Sample) => sample.picks.map(({ passes }) => passes[0].enters[0]).join('');

describe('the order goes on', () => {
  const twill = [[1], [2], [3], [4], [1], [2], [3], [4], [1], [2]].map((lift) => pick(lift));

  test('by the shortest repeat that the picks so far show', () => {
    expect(orderLength(twill, 10)).toBe(4);
    expect(nextInOrder(twill, 10).lift).toEqual([3]);
    expect(nextInOrder(twill, 8).lift).toEqual([1]);
  });

  test('of wefts as well as lifts', () => {
    const pickAndPick = ['tar', 'gull', 'tar', 'gull', 'tar'].map((yarn, i) => pick([1 + (i % 2)], yarn));
    expect(nextInOrder(pickAndPick, 5).passes[0].strands).toEqual(['gull']);
  });

  test('where none shows, as two sheds turn about; the first pick again where it stands alone', () => {
    expect(orderLength(twill, 3)).toBeUndefined();
    expect(nextInOrder(twill, 3).lift).toEqual([2]);
    expect(nextInOrder(twill, 1).lift).toEqual([1]);
  });

  test('the same lift again leaves out inlay and the pick’s own beat', () => {
    const { picks } = smallSample();
    expect(sameLift(picks[4])).toEqual(pick([1, 3, 5, 7], 'kelp', 'left'));
    expect(sameLift(picks[7]).beat).toBeUndefined();
    expect(nextInOrder([{ ...pick([1]), beat: 0.2 }], 1).beat).toBeUndefined();
  });
});

describe('shuttles are followed from edge to edge', () => {
  const start = woven(pick([1], 'kelp', 'left'), pick([2], 'kelp', 'right'), pick([1], 'kelp', 'left'));

  test('past an inserted pick, a copied one and one unwoven', () => {
    const store = createSampleStore(start);
    store.dispatch(insertPicks({ before: 2, picks: [pick([2], 'kelp', 'left')] }));
    expect(sidesOf(store.state.getState().sample)).toBe('lrlr');
    store.dispatch(copyPicks({ picks: { from: 1, to: 1 }, before: 2 }));
    expect(sidesOf(store.state.getState().sample)).toBe('lrlrl');
    store.dispatch(deletePicks({ from: 3, to: 3 }));
    expect(sidesOf(store.state.getState().sample)).toBe('lrlr');
    store.undo();
    store.undo();
    store.undo();
    expect(store.state.getState().sample.picks).toEqual(start.picks);
  });

  test('each shuttle by itself', () => {
    const two = woven(pick([1], 'kelp'), pick([2], 'gull'), pick([1], 'kelp', 'right'), pick([2], 'gull', 'right'));
    const store = createSampleStore(two);
    store.dispatch(insertPicks({ before: 2, picks: [pick([2], 'kelp', 'left')] }));
    expect(sidesOf(store.state.getState().sample)).toBe('lrllr');
  });

  test('a weft that was cut and begun anew keeps its side, and so does all after it', () => {
    const cut = woven(pick([1], 'kelp', 'left'), pick([2], 'kelp', 'left'), pick([1], 'kelp', 'right'));
    const store = createSampleStore(cut);
    store.dispatch(insertPicks({ before: 1, picks: [pick([2], 'kelp', 'left')] }));
    expect(sidesOf(store.state.getState().sample)).toBe('lrlr');
  });
});

describe('one shaft at a time', () => {
  test('is raised and lowered over picks of unlike lifts, and named so', () => {
    const store = createSampleStore(smallSample());
    store.dispatch(liftOne({ picks: { from: 1, to: 2 }, number: 2, up: true }));
    expect(
      store.state
        .getState()
        .sample.picks.slice(0, 2)
        .map(({ lift }) => lift),
    ).toEqual([
      [1, 2, 3, 5, 7],
      [2, 4, 6, 8],
    ]);
    expect(store.state.getState().undoName).toBe('raise shaft 2 on picks 1–2');
    store.dispatch(liftOne({ picks: { from: 2, to: 2 }, number: 8, up: false }));
    expect(store.state.getState().undoName).toBe('lower shaft 8 on pick 2');
    expect(store.dispatch(liftOne({ picks: { from: 1, to: 1 }, number: 9, up: true }))?.message).toMatch(
      /names shaft 9, but there are 8/,
    );
  });

  test('treadles are pressed where the loom has them, as many as are tied', () => {
    const base = smallSample();
    const treadled: Sample = {
      ...base,
      loom: { ...base.loom, control: { kind: 'treadles', treadles: 4, action: 'rising' } },
      warp: {
        ...base.warp,
        tieUp: [
          [1, 3, 5, 7],
          [2, 4, 6, 8],
          [1, 2],
        ],
      },
      picks: [pick([1]), pick([2])],
    };
    const store = createSampleStore(treadled);
    expect(store.dispatch(liftOne({ picks: { from: 1, to: 1 }, number: 3, up: true }))).toBeNull();
    expect(store.state.getState().undoName).toBe('press treadle 3 on pick 1');
    expect(store.dispatch(liftOne({ picks: { from: 1, to: 1 }, number: 4, up: true }))?.message).toMatch(/treadle 4/);
    expect(store.dispatch(oppositeLift({ from: 1, to: 1 }))?.message).toMatch(/choose the treadles/i);
  });

  test('the opposite lift twice is the lift itself', () => {
    const store = createSampleStore(smallSample());
    store.dispatch(oppositeLift({ from: 1, to: 3 }));
    expect(store.state.getState().sample.picks[0].lift).toEqual([2, 4, 6, 8]);
    store.dispatch(oppositeLift({ from: 1, to: 3 }));
    expect(store.state.getState().sample.picks).toEqual(smallSample().picks);
  });
});
