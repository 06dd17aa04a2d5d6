import { describe, expect, test } from 'vitest';
import { fixPicksPerCm, setBeat, setBeatTrace } from '#document/commands/beatCommands.ts';
import type { Command } from '#document/commands/command.ts';
import { addPass, removePass, setPassShape, setPassYarn } from '#document/commands/passCommands.ts';
import { copyPicks, deletePicks, insertPicks, setLift } from '#document/commands/pickCommands.ts';
import { setEndYarn, setWarpFixed } from '#document/commands/warpCommands.ts';
import { addYarn, freeYarnId, removeYarn, setYarnColour, setYarnCount } from '#document/commands/yarnCommands.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { cottonCard, smallSample } from './smallSample.ts';

/** The sample after the commands; throws at the first refusal. */
function sampleAfter(...commands: Command[]) {
  const store = createSampleStore(smallSample());
  for (const command of commands) {
    const refusal = store.dispatch(command);
    if (refusal) throw new Error(refusal.message);
  }
  return store.state.getState().sample;
}

function refusal(command: Command): string {
  return createSampleStore(smallSample()).dispatch(command)?.message ?? 'taken';
}

const nameOf = (command: Command) => command.name(smallSample());

describe('wefts', () => {
  test('one of the strands that lie together is exchanged, and other picks of the span are left alone', () => {
    const { picks } = sampleAfter(setPassYarn({ picks: { from: 1, to: 12 }, strands: ['tar'], replacing: 'rope' }));
    expect(picks[7].passes[0].strands).toEqual(['gull', 'tar']);
    expect(picks[4].passes.map(({ strands }) => strands)).toEqual([['kelp'], ['tar']]);
    expect(picks[0].passes[0].strands).toEqual(['kelp']);
  });

  test('only the pass asked for takes the yarn', () => {
    const { picks } = sampleAfter(setPassYarn({ picks: { from: 5, to: 5 }, pass: 2, strands: ['gull', 'tar'] }));
    expect(picks[4].passes.map(({ strands }) => strands)).toEqual([['kelp'], ['gull', 'tar']]);
    expect(refusal(setPassYarn({ picks: { from: 1, to: 3 }, pass: 2, strands: ['tar'] }))).toMatch(
      /no such pass in picks 1–3/,
    );
  });

  test('a pass is laid in, moved and taken out; one that cannot be woven is refused where it is wrong', () => {
    const laid = addPass({ pick: 3, pass: { strands: ['rope'], fromEnd: 9, toEnd: 16, enters: 'left', ends: 'cut' } });
    const moved = setPassShape({ pick: 3, pass: 2, shape: { toEnd: null, ends: 'selvedge' } });
    expect(sampleAfter(laid, moved).picks[2].passes[1]).toEqual({
      strands: ['rope'],
      fromEnd: 9,
      enters: 'left',
      ends: 'selvedge',
    });
    expect(sampleAfter(laid, removePass({ pick: 3, pass: 2 })).picks[2].passes).toHaveLength(1);
    expect(refusal(removePass({ pick: 3, pass: 1 }))).toMatch(/delete the pick instead/i);
    expect(refusal(setPassShape({ pick: 5, pass: 2, shape: { toEnd: 30 } }))).toMatch(
      /^Pick 5, pass 2: passes ends 5 to 30/,
    );
    expect(refusal(setPassShape({ pick: 5, pass: 3, shape: {} }))).toMatch(/no pass 3.*one of its 2/i);
  });
});

describe('picks', () => {
  test('inserted, copied and unwoven where asked', () => {
    const start = smallSample().picks;
    const { picks } = sampleAfter(copyPicks({ picks: { from: 5, to: 6 }, before: 1, times: 2 }));
    expect(picks).toEqual([start[4], start[5], start[4], start[5], ...start]);
    const added = { lift: [1], passes: [{ strands: ['tar'], enters: 'left' as const, ends: 'selvedge' as const }] };
    expect(sampleAfter(insertPicks({ before: 13, picks: [added] })).picks[12]).toEqual(added);
    expect(sampleAfter(deletePicks({ from: 2, to: 12 })).picks).toEqual([start[0]]);
    expect(refusal(deletePicks({ from: 1, to: 12 }))).toMatch(/keep at least one/i);
    expect(refusal(insertPicks({ before: 14, picks: [added] }))).toMatch(/choose 1 to 13/i);
  });

  test('lifts stay within the loom', () => {
    expect(sampleAfter(setLift({ picks: { from: 1, to: 2 }, lift: [8, 2] })).picks[1].lift).toEqual([2, 8]);
    expect(refusal(setLift({ picks: { from: 4, to: 4 }, lift: [9] }))).toMatch(
      /^Pick 4, lift: names shaft 9, but there are 8/,
    );
  });
});

describe('beat', () => {
  test('names say which way it went', () => {
    expect(nameOf(setBeat({ picks: { from: 4, to: 12 }, firmness: 0.9 }))).toBe('beat firmer on picks 4–12');
    expect(nameOf(setBeat({ picks: { from: 4, to: 4 }, firmness: 0.2 }))).toBe('beat looser on pick 4');
    expect(nameOf(setBeat({ firmness: 0.2 }))).toBe('beat looser throughout');
  });

  test('a trace sets pick by pick, null gives the pick back to the sample', () => {
    const { picks } = sampleAfter(setBeatTrace({ from: 7, firmness: [0.1, null, 0.3] }));
    expect(picks.slice(6, 9).map(({ beat }) => beat)).toEqual([0.1, undefined, 0.3]);
    expect('beat' in picks[7]).toBe(false);
    expect(refusal(setBeatTrace({ from: 7, firmness: [0.1, 1.2] }))).toMatch(/^Pick 8, beat: is not between 0 and 1/);
  });

  test('picks per cm are fixed and let go', () => {
    expect(sampleAfter(fixPicksPerCm(12)).beat.fixedPicksPerCm).toBe(12);
    expect('fixedPicksPerCm' in sampleAfter(fixPicksPerCm(12), fixPicksPerCm(null)).beat).toBe(false);
    expect(refusal(fixPicksPerCm(0))).toMatch(/between 0.2 and 400/);
  });
});

describe('warp and yarns', () => {
  test('ends take another yarn in compact notation, unless the warp is fixed', () => {
    expect(sampleAfter(setEndYarn({ ends: { from: 4, to: 6 }, strands: ['rope', 'gull'] })).warp.order).toBe(
      '2 tar, 1 gull, 3 rope+gull, (2 tar, 1 gull) x6',
    );
    const store = createSampleStore(sampleAfter(setWarpFixed(true)));
    expect(store.dispatch(setEndYarn({ ends: { from: 1, to: 1 }, strands: ['gull'] }))?.message).toMatch(
      /on the loom and cannot change. Release it first/,
    );
  });

  test('a yarn in use stays on the shelf', () => {
    expect(refusal(removeYarn('tar'))).toMatch(/used in the warp/);
    expect(refusal(removeYarn('rope'))).toMatch(/used in pick 5/);
    const mud = { ...cottonCard('mud', '#6b5a45'), id: 'mud' } as YarnCard;
    expect(Object.keys(sampleAfter(addYarn(mud)).yarns)).toContain('mud');
    expect(Object.keys(sampleAfter(addYarn(mud), removeYarn('mud')).yarns)).not.toContain('mud');
    expect(refusal(addYarn({ ...mud, id: 'tar' }))).toMatch(/here already/);
    expect(freeYarnId(smallSample(), 'tar')).toBe('tar-2');
  });

  test('colour and count are checked before they are taken', () => {
    expect(sampleAfter(setYarnColour({ yarn: 'kelp', coneColour: '#102030' })).yarns.kelp.coneColour).toBe('#102030');
    expect(refusal(setYarnColour({ yarn: 'kelp', coneColour: 'green' }))).toMatch(/write it as #rrggbb/i);
    expect(sampleAfter(setYarnCount({ yarn: 'kelp', tex: 590.4 })).yarns.kelp).toMatchObject({
      tex: 590.4,
      bendingNmm2: [0.0264, 0.156],
    });
    expect(refusal(setYarnCount({ yarn: 'kelp', tex: 0 }))).toMatch(/between 0.5 and 100000 tex/);
    expect(refusal(setYarnCount({ yarn: 'mud', tex: 10 }))).toMatch(/no yarn "mud"/);
  });
});
