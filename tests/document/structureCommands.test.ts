import { describe, expect, it } from 'vitest';
import { weaveInstead, weaveStructure } from '#document/commands/structureCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { isUp } from '#engine/weave/structures/structureTypes.ts';
import { sample } from '#tests/presets/presetFiles.ts';

describe('weaving picks in a structure', () => {
  for (const id of ['fog-bank', 'net-store-towel']) {
    it(`${id}: the cloth is the structure from the first pick chosen to the last, the rest stays, and undo brings it back`, () => {
      const store = createSampleStore(sample(id));
      const before = store.state.getState().sample;
      const structure = structureOf({ rule: 'plain' });
      const standing = standingOn(warpedLoomOf(before), structure);
      expect(standing.kind).toBe('here');
      const repeat = liftsOf(standing).map((lift) => ({ lift }));
      expect(store.dispatch(weaveStructure({ picks: { from: 11, to: 30 }, repeat, name: 'plain' }))).toBeNull();
      const { drawdown } = toClothProblem(store.state.getState().sample).problem;
      const { drawdown: old } = toClothProblem(before).problem;
      for (let row = 0; row < drawdown.rows; row++) {
        const inside = row >= 10 && row < 30;
        for (let end = 0; end < drawdown.ends; end++) {
          const wanted = inside ? isUp(structure.drawdown, row - 10, end + standing.beginsAt) : isWarpUp(old, row, end);
          expect(isWarpUp(drawdown, row, end)).toBe(wanted);
        }
      }
      store.undo();
      expect(store.state.getState().sample).toEqual(before);
    });
  }

  it('exchanges the weft only where the structure wants one, and refuses what is not there', () => {
    const store = createSampleStore(sample('fog-bank'));
    const repeat = [{ lift: [1, 3] }, { lift: [2, 4], strands: ['mist'] }];
    store.dispatch(weaveStructure({ picks: { from: 1, to: 4 }, repeat, name: 'a trial' }));
    const { picks } = store.state.getState().sample;
    expect(picks.slice(0, 4).map(({ passes }) => passes[0].strands[0])).toEqual(['slate', 'mist', 'slate', 'mist']);
    // Each shuttle goes to and fro by itself.
    expect(picks[0].passes[0].enters).not.toBe(picks[2].passes[0].enters);
    const refused = (strands: string[], lift = [1]) =>
      store.dispatch(weaveStructure({ picks: { from: 1, to: 4 }, repeat: [{ lift, strands }], name: 'a trial' }))
        ?.message;
    expect(refused(['seaweed'])).toMatch(/no yarn "seaweed"/u);
    expect(refused(['mist'], [17])).toMatch(/17/u);
    expect(store.dispatch(weaveStructure({ picks: { from: 1, to: 400 }, repeat, name: 'a trial' }))?.message).toMatch(
      /Choose within picks 1–112/u,
    );
  });

  it('a strip takes the place of all picks in one step', () => {
    const store = createSampleStore(sample('fog-bank'));
    const before = store.state.getState().sample;
    const picks = [
      { lift: [1, 2], strands: ['slate'] },
      { lift: [3, 4], strands: ['mist'] },
      { lift: [5], strands: ['slate'] },
    ];
    expect(store.dispatch(weaveInstead({ picks, name: 'a trial strip' }))).toBeNull();
    expect(store.state.getState().sample.picks.map(({ passes }) => passes[0].enters)).toEqual([
      'left',
      'left',
      'right',
    ]);
    expect(store.state.getState().undoName).toBe('weave a trial strip');
    store.undo();
    expect(store.state.getState().sample).toEqual(before);
  });
});
