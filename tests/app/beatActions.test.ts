import { describe, expect, it } from 'vitest';
import {
  BEAT_STEP,
  beatEvenly,
  beatRange,
  beatWholeCloth,
  drawnBeatWords,
  howManyPicks,
} from '#app/model/beatActions.ts';
import { createTableStore } from '#app/model/tableState.ts';
import { firmnessAt, setBeat } from '#document/commands/beatCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { smallSample } from '#tests/document/smallSample.ts';

function laid() {
  const samples = createSampleStore(smallSample());
  const ui = createTableStore();
  const beat = () => {
    const { sample } = samples.state.getState();
    return sample.picks.map((_, pick) => firmnessAt(sample, pick));
  };
  return { samples, ui, beat };
}

describe('the beat of the whole cloth', () => {
  it('goes firmer or looser by one step and keeps what was drawn into it, as one undo step', () => {
    const table = laid();
    const before = table.beat();
    // Pick 8 has a beat of its own.
    expect(new Set(before).size).toBe(2);
    beatWholeCloth(table, 1);
    table.beat().forEach((firmness, pick) => {
      expect(firmness - before[pick]).toBeCloseTo(BEAT_STEP, 9);
    });
    expect(table.samples.historySize().steps).toBe(1);
    expect(table.samples.state.getState().undoName).toBe('beat the whole cloth firmer');
    expect(table.ui.getState().notice).toMatch(/^The whole cloth is beaten at \d+ to \d+ % of the firmest\.$/);
    table.samples.undo();
    expect(table.beat()).toEqual(before);
    beatWholeCloth(table, -1);
    expect(table.beat()[7]).toBeCloseTo(before[7] - BEAT_STEP, 9);
  });

  it('stops with its shape whole at the firmest and the loosest, and says so', () => {
    const table = laid();
    table.samples.dispatch(setBeat({ picks: { from: 3, to: 3 }, firmness: 0.98 }));
    const before = table.beat();
    beatWholeCloth(table, 1);
    table.beat().forEach((firmness, pick) => {
      expect(firmness - before[pick]).toBeCloseTo(0.02, 9);
    });
    const { steps } = table.samples.historySize();
    beatWholeCloth(table, 1);
    expect(table.samples.historySize().steps).toBe(steps);
    expect(table.ui.getState().notice).toContain('as firmly as can be');
  });

  it('says, with picks selected, that they are not beaten alone and how they are', () => {
    const table = laid();
    table.ui.getState().select({ kind: 'picks', range: { from: 1, to: 3 } });
    beatWholeCloth(table, 1);
    expect(table.ui.getState().notice).toMatch(/ of the firmest, not picks 2–4 alone: /);
    table.ui.getState().select({ kind: 'picks', range: { from: 0, to: table.beat().length - 1 } });
    beatWholeCloth(table, -1);
    expect(table.ui.getState().notice).toMatch(/ of the firmest\.$/);
  });

  it('may be made even', () => {
    const table = laid();
    expect(beatEvenly(table, 0.33)).toBeNull();
    expect(beatRange(table.samples.state.getState().sample)).toEqual({ least: 0.33, most: 0.33 });
    expect(beatEvenly(table, 1.2)?.message).toBeTruthy();
    expect(table.samples.historySize().steps).toBe(1);
  });
});

describe('what a drag has hold of', () => {
  it('is told by count and place, from one', () => {
    expect(howManyPicks({ from: 4, to: 4 })).toBe('1 pick, 5');
    expect(howManyPicks({ from: 11, to: 13 })).toBe('3 picks, 12–14');
    expect(drawnBeatWords({ from: 11, to: 13 })).toContain('picks 12–14 alone');
  });
});
