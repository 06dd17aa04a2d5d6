import { describe, expect, it } from 'vitest';
import { setThreading, setWarpFixed } from '#document/commands/warpCommands.ts';
import { sampleOnWarp, settOf, sleyFor, sleysNear, type WarpPlan } from '#document/sampleOnWarp.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { readWarp, toClothProblem } from '#document/toClothProblem.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { readLoomCard, readYarnCard } from '#io/cardFiles.ts';
import { card } from '#tests/presets/presetFiles.ts';

const yarn = (id: string) => card('yarns', id, readYarnCard);
const plan = (loom: string, more: Partial<WarpPlan> = {}): WarpPlan => ({
  loom: card('looms', loom, readLoomCard),
  warpYarns: [yarn('cotton-16-2')],
  weftYarn: yarn('cotton-8-2'),
  ends: 96,
  endsPerCm: 12,
  threading: '1-8',
  picks: 40,
  ...more,
});
const begun = (asked: WarpPlan) => {
  const outcome = sampleOnWarp(asked, 'own warp');
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  return outcome.value;
};
const refusal = (asked: WarpPlan) => {
  const outcome = sampleOnWarp(asked, 'own warp');
  return outcome.ok ? 'begun' : outcome.problems[0].message;
};

describe('a sample begun on a warp of one’s own', () => {
  for (const loom of ['p8', 'q16', 'q24']) {
    it(`${loom}: is plain weave from edge to edge, and may still be threaded otherwise`, () => {
      const sample = begun(plan(loom));
      const { drawdown } = toClothProblem(sample).problem;
      for (let row = 0; row < drawdown.rows; row++) {
        for (let end = 0; end < drawdown.ends; end++) {
          expect(isWarpUp(drawdown, row, end)).not.toBe(isWarpUp(drawdown, row, end === 0 ? 1 : end - 1));
          if (row > 0) expect(isWarpUp(drawdown, row, end)).not.toBe(isWarpUp(drawdown, row - 1, end));
        }
      }
      const store = createSampleStore(sample);
      expect(store.dispatch(setThreading('point 8'))).toBeNull();
      const shafts = Array.from(readWarp(store.state.getState().sample.warp).threading);
      expect(shafts).toHaveLength(96);
      expect(shafts.slice(0, 16)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 7, 6, 5, 4, 3, 2, 1, 2]);
      store.dispatch(setWarpFixed(true));
      expect(store.dispatch(setThreading('1-4'))?.message).toMatch(/is on the loom/);
    });
  }

  it('lays ends of two yarns in turn and throws its weft to and fro', () => {
    const sample = begun(plan('q24', { warpYarns: [yarn('cotton-16-2'), yarn('cotton-8-2')] }));
    expect(sample.warp.order).toBe('(1 cotton-16-2, 1 cotton-8-2) x48');
    expect(sample.picks.slice(0, 3).map(({ passes }) => passes[0].enters)).toEqual(['left', 'right', 'left']);
  });

  it('says what is not there', () => {
    expect(refusal(plan('p8', { threading: '1-9' }))).toMatch(/shaft 9/);
    expect(refusal(plan('p8', { threading: 'one to eight' }))).toMatch(/a shaft such as 3/);
    expect(refusal(plan('p8', { threading: '' }))).not.toBe('begun');
    expect(refusal(plan('p8', { ends: 0 }))).not.toBe('begun');
    expect(refusal(plan('p8', { ends: 4000 }))).toMatch(/wide in the reed/);
  });

  it('takes of the loom’s reeds the one that comes nearest', () => {
    // 20 ends an inch in a reed of 12 dents an inch would be uneven; 10 dents an inch with two in each is the trade's way.
    expect(sleyFor(20 / 2.54, [12 / 2.54, 10 / 2.54])).toEqual({ dentsPerCm: 10 / 2.54, endsPerDent: 2 });
    expect(sleyFor(12, [3, 4, 6])).toEqual({ dentsPerCm: 6, endsPerDent: 2 });
    // A sett between the reeds' own is met by two numbers in turn; 10 = 5 × 2 = 4 × (2 + 3)/2.
    expect(sleysNear(10, [4, 5, 6], 2)).toEqual([
      { dentsPerCm: 4, endsPerDent: '2 3' },
      { dentsPerCm: 5, endsPerDent: 2 },
    ]);
    for (const sley of sleysNear(7, [4, 5, 6], 6)) expect(settOf(sley)).toBeGreaterThanOrEqual(4);
  });
});
