import { describe, expect, test } from 'vitest';
import { weaveBackUppermost } from '#document/commands/checkCommands.ts';
import type { Command } from '#document/commands/command.ts';
import { rearrangePicks } from '#document/commands/draftCommands.ts';
import { layOnlyHere } from '#document/commands/layingCommands.ts';
import { sameLift } from '#document/commands/nextPick.ts';
import { copyPicks, deletePicks, insertPicks } from '#document/commands/pickCommands.ts';
import { recutPicks } from '#document/commands/weavingCommands.ts';
import type { Treatment } from '#document/schema/afterLoomSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { smallSample } from './smallSample.ts';

const bendAt = (pick: number, toPick?: number): Treatment => ({
  ...{ kind: 'bend', pick, ...(toPick === undefined ? {} : { toPick }), end: 5.5, angleDegrees: 60 },
  ...{ radiusMm: 8, side: 'face' },
});

/** The sample with every pick told apart by its beat, and these treatments. */
function numbered(treatments: readonly Treatment[]): Sample {
  const sample = smallSample();
  const picks = sample.picks.map((pick, k) => ({ ...pick, beat: (k + 1) / 100 }));
  return { ...sample, picks, afterLoom: [...treatments] };
}

/** Numbers that the picks of all bends had before the command, bend by bend. */
function bentPicks(before: Sample, command: Command): number[][] {
  const store = createSampleStore(before);
  expect(store.dispatch(command)).toBeNull();
  const { picks, afterLoom = [] } = store.state.getState().sample;
  const bent = afterLoom.flatMap((treatment) =>
    treatment.kind === 'bend'
      ? [
          picks
            .slice(treatment.pick - 1, treatment.toPick ?? treatment.pick)
            .map(({ beat = 0 }) => Math.round(100 * beat)),
        ]
      : [],
  );
  store.undo();
  expect(store.state.getState().sample).toEqual(before);
  return bent;
}

const span = (from: number, to: number) => ({ from, to });
const fresh = (sample: Sample) => [sameLift(sample.picks[0]), sameLift(sample.picks[1])];

describe('a bend by hand', () => {
  test('goes with its pick when others are woven or unwoven before it, and stays where they come after', () => {
    const sample = numbered([bendAt(5), bendAt(8, 9)]);
    for (const before of [1, 5]) {
      expect(bentPicks(sample, insertPicks({ before, picks: fresh(sample) }))).toEqual([[5], [8, 9]]);
    }
    expect(bentPicks(sample, insertPicks({ before: 10, picks: fresh(sample) }))).toEqual([[5], [8, 9]]);
    expect(bentPicks(sample, deletePicks(span(1, 4)))).toEqual([[5], [8, 9]]);
    expect(bentPicks(sample, deletePicks(span(6, 7)))).toEqual([[5], [8, 9]]);
  });

  test('is gone with its pick, and is of what is left of several', () => {
    const sample = numbered([bendAt(5), bendAt(8, 11)]);
    expect(bentPicks(sample, deletePicks(span(5, 5)))).toEqual([[8, 9, 10, 11]]);
    expect(bentPicks(sample, deletePicks(span(4, 9)))).toEqual([[10, 11]]);
  });

  test('holds what is woven between the picks that it is made in', () => {
    const sample = numbered([bendAt(8, 9)]);
    const bent = bentPicks(sample, insertPicks({ before: 9, picks: fresh(sample) }));
    expect(bent).toEqual([[8, 0, 0, 9]]);
  });

  test('is made again where its picks are woven again', () => {
    const sample = numbered([bendAt(5)]);
    expect(bentPicks(sample, copyPicks({ picks: span(4, 6), before: 1 }))).toEqual([[5], [5]]);
    expect(bentPicks(sample, copyPicks({ picks: span(4, 6), before: 13, times: 3 }))).toEqual([[5], [5], [5], [5]]);
    expect(bentPicks(sample, copyPicks({ picks: span(1, 3), before: 1 }))).toEqual([[5]]);
    const refusal = createSampleStore(sample).dispatch(copyPicks({ picks: span(4, 6), before: 1, times: 40 }));
    expect(refusal?.message).toMatch(/41 treatments .* take some bends away first/);
  });

  test('goes with its pick where the order of picks is changed, in as many pieces as they then lie in', () => {
    const sample = numbered([bendAt(2, 3)]);
    expect(
      bentPicks(sample, rearrangePicks({ picks: span(1, 6), how: 'slide', by: 1 }))
        .flat()
        .sort(),
    ).toEqual([2, 3]);
    expect(bentPicks(sample, rearrangePicks({ picks: span(1, 12), how: 'mirror' }))).toEqual([[3, 2]]);
    expect(bentPicks(sample, rearrangePicks({ picks: span(1, 12), how: 'alternate' }))).toEqual([[2], [3]]);
  });

  test('goes with its pick where the rest is woven in fewer or more picks, or wefts get picks of their own', () => {
    const sample = numbered([bendAt(12)]);
    expect(bentPicks(sample, recutPicks({ from: 1, wanted: 10, unit: 2 })).flat()).toEqual([12]);
    const own = layOnlyHere({
      ...{ picks: span(2, 4), ends: span(3, 6), strands: ['gull'], how: 'ownShed' },
      ...{ join: 'slit', leaves: 'turn', tailMm: 10, tails: 'fringe' },
    });
    expect(bentPicks(sample, own)).toEqual([[12]]);
  });

  test('stands to the other side where the cloth is woven with its back uppermost', () => {
    const store = createSampleStore(numbered([bendAt(2, 3)]));
    store.dispatch(weaveBackUppermost());
    expect(store.state.getState().sample.afterLoom).toEqual([{ ...bendAt(10, 11), side: 'back' }]);
    store.dispatch(weaveBackUppermost());
    expect(store.state.getState().sample.afterLoom).toEqual([bendAt(2, 3)]);
  });
});

describe('cuts, clippings and faults', () => {
  const cut: Treatment = {
    kind: 'cut',
    line: [
      { end: 0, pick: 6.25 },
      { end: 25, pick: 13 },
    ],
    what: 'through',
    keep: 'left',
  };
  const clip: Treatment = { kind: 'clip', side: 'face', threads: 'weft', atLeast: 3, part: { fromPick: 5, toPick: 7 } };

  test('stay where they are in the cloth while picks are woven and unwoven elsewhere, and are made once', () => {
    const sample: Sample = { ...numbered([cut, clip]), faults: [{ kind: 'skippedEnd', pick: 6, end: 3 }] };
    const done = (command: Command) => {
      const store = createSampleStore(sample);
      expect(store.dispatch(command)).toBeNull();
      const { afterLoom, faults } = store.state.getState().sample;
      return { afterLoom, faults };
    };
    const moved = (by: number) => ({
      afterLoom: [
        { ...cut, line: cut.line.map(({ end, pick }) => ({ end, pick: pick + by })) },
        { ...clip, part: { fromPick: 5 + by, toPick: 7 + by } },
      ],
      faults: [{ kind: 'skippedEnd', pick: 6 + by, end: 3 }],
    });
    expect(done(insertPicks({ before: 2, picks: fresh(sample) }))).toEqual(moved(2));
    expect(done(deletePicks(span(1, 3)))).toEqual(moved(-3));
    expect(done(copyPicks({ picks: span(5, 8), before: 1 }))).toEqual(moved(4));
    // What is at picks that are gone: the line runs to the seam, the rest is gone.
    expect(done(deletePicks(span(5, 7)))).toEqual({
      afterLoom: [
        {
          ...cut,
          line: [
            { end: 0, pick: 4.5 },
            { end: 25, pick: 10 },
          ],
        },
      ],
      faults: undefined,
    });
  });
});
