import { describe, expect, test } from 'vitest';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { beginningBeat } from '#document/beginBeat.ts';
import { beginSample, plainOn } from '#document/beginSample.ts';
import { ownWarp } from '#document/sampleOnWarp.ts';
import { isWellDrawn, threadedFor } from '#document/threadedFor.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { rowHolds, rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { cycle, sameDrawdown, tile } from '#engine/draft/transformDrawdown.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { readLoomCard, readWarpCard, readYarnCard } from '#io/cardFiles.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { card, demand, filesOf } from '#tests/presets/presetFiles.ts';

const loom = (id: string) => card('looms', id, readLoomCard);
const cotton = card('yarns', 'cotton-8-2', readYarnCard);
const { drawdown: plain } = structureOf({ rule: 'plain' });

/** Plain weave over so many picks and ends, begun on either thread. */
const isPlain = (sample: ReturnType<typeof begun>) => {
  const { drawdown } = toClothProblem(sample).problem;
  return [0, 1].some((by) => sameDrawdown(drawdown, tile(cycle(plain, by, 0), drawdown.rows, drawdown.ends)));
};
const begun = (on: Parameters<typeof beginSample>[0]['on']) =>
  demand(beginSample({ name: 'trial', on, weft: cotton, picks: 20 }));

describe('a new sample', () => {
  test.each(filesOf('warps').map(({ id }) => id))('begins on the warp %s, and its file reads back', (id) => {
    const warp = card('warps', id, readWarpCard);
    const on = { loom: loom(warp.loomId ?? ''), warp };
    const sample = begun(on);
    expect(sample.picks.map(({ passes }) => passes[0].enters).slice(0, 3)).toEqual(['left', 'right', 'left']);
    expect(demand(readSampleText(writeSampleText(sample)))).toEqual(sample);
    expect(sampleCloth(sample).ok).toBe(true);
    expect(isPlain(sample)).toBe(plainOn(on).kind === 'here');
  });

  test.each(['towel', 'foam', 'hemp'])(
    'is beaten as its picks want on the warp %s, balanced where nothing is wanted',
    (id) => {
      const warp = card('warps', id, readWarpCard);
      const on = { loom: loom(warp.loomId ?? ''), warp };
      const usual = beginningBeat({ on, weft: cotton })!;
      expect(usual.loosestPerCm).toBeLessThan(usual.firmestPerCm);
      const wanted = 0.3 * usual.loosestPerCm + 0.7 * usual.firmestPerCm;
      const { firmness } = beginningBeat({ on, weft: cotton }, wanted)!;
      const sample = demand(beginSample({ name: 'trial', on, weft: cotton, picks: 80, firmness }));
      const { problem } = toClothProblem(sample);
      const { rowYMm } = rowPositions(problem, false, rowHolds(problem));
      expect((10 * (problem.rows - 1)) / rowYMm[problem.rows - 1] / wanted).toBeCloseTo(1, 2);
      const balanced = usual.endsPerCm >= usual.loosestPerCm && usual.endsPerCm <= usual.firmestPerCm;
      if (balanced) expect(usual.picksPerCm).toBeCloseTo(usual.endsPerCm, 6);
      else expect(usual.firmness).toBeCloseTo(0.6, 2);
      expect(beginningBeat({ on, weft: cotton }, 10 * usual.firmestPerCm)!.firmness).toBe(1);
      expect(beginningBeat({ on, weft: cotton }, 0.1 * usual.loosestPerCm)!.firmness).toBe(0);
    },
  );

  test('begins in double plain with a weft for each cloth, each thrown to and fro by itself', () => {
    const warp = card('warps', 'water-and-sail', readWarpCard);
    const on = { loom: loom(warp.loomId ?? ''), warp };
    const { drawdown, picks: sorts } = structureOf({ rule: 'doublePlain' });
    const standing = standingOn(warpedLoomOf(on), { drawdown, ends: [], picks: sorts, layers: 2 });
    expect(standing.kind).toBe('here');
    const dark = { ...cotton, id: 'tar', name: 'tar' };
    const repeat = liftsOf(standing).map((lift, row) => (sorts[row] === 'back' ? { lift, weft: dark } : { lift }));
    const sample = demand(beginSample({ name: 'trial', on, weft: cotton, repeat, picks: 8 }));
    // One and one, so that either shuttle lies at the edge where it came out two picks ago (common practice).
    expect(sample.picks.map(({ passes: [pass] }) => [pass.strands[0] === 'tar', pass.enters])).toEqual(
      sorts.concat(sorts).map((sort, k) => [sort === 'back', k % 4 < 2 ? 'left' : 'right']),
    );
    const { drawdown: woven } = toClothProblem(sample).problem;
    expect(layersOf(woven).count).toBe(2);
    expect(beginningBeat({ on, weft: cotton, repeat })!.firmestPerCm).toBeGreaterThan(
      beginningBeat({ on, weft: cotton })!.firmestPerCm,
    );
  });

  test('draws a free warp in for a weave where the loom has the shafts, and leaves one that stands', () => {
    const free = { ...card('warps', 'towel', readWarpCard), fixed: false, notes: 'Treadles 1 and 2 plain.' };
    const on = { loom: loom('p8'), warp: { ...free, threading: '1-8 x12, 1' } };
    const waffle = structureOf({ rule: 'waffle', shafts: 5 });
    expect(standingOn(warpedLoomOf(on), waffle).kind).not.toBe('here');
    const drawn = threadedFor(on, waffle.drawdown)!;
    // Waffle on five is drawn to a point on five shafts (common practice).
    expect(new Set(warpedLoomOf(drawn).threading).size).toBe(5);
    expect(standingOn(warpedLoomOf(drawn), waffle).kind).toBe('here');
    // Its notes tell what each treadle of the old tie-up weaves.
    expect(on.warp.notes).toBeDefined();
    expect(drawn.warp.notes).toBeUndefined();
    expect(threadedFor({ ...on, warp: { ...on.warp, fixed: true } }, waffle.drawdown)).toBeUndefined();
    const { drawdown: sateen } = structureOf({ rule: 'satin', ends: 10, move: 3, face: 'weft' });
    expect(threadedFor(on, sateen)).toBeUndefined();
  });

  test('ties treadles anew where two feet could not press those that a weave takes', () => {
    const warpYarns = [cotton];
    const warp = demand(ownWarp({ loom: loom('p8'), warpYarns, ends: 96, endsPerCm: 8, threading: '1-8' }));
    const on = { loom: loom('p8'), warp };
    // A warp satin of eight raises seven shafts at every pick: tied shaft by shaft, with odd and even ones besides, four treadles.
    const satin = structureOf({ rule: 'satin', ends: 8, move: 3, face: 'warp' });
    const asTied = standingOn(warpedLoomOf(on), satin);
    expect(asTied.kind).toBe('here');
    expect(liftsOf(asTied).every(({ length }) => length >= 4)).toBe(true);
    expect(isWellDrawn(on, asTied)).toBe(false);
    const tied = threadedFor(on, satin.drawdown)!;
    const standing = standingOn(warpedLoomOf(tied), satin);
    expect([standing.kind, isWellDrawn(tied, standing)]).toEqual(['here', true]);
    expect(liftsOf(standing).every(({ length }) => length === 1)).toBe(true);
    expect(isWellDrawn(on, plainOn(on))).toBe(true);
  });

  test('keeps two yarns of one id apart', () => {
    const warp = card('warps', 'towel', readWarpCard);
    const weft = { ...cotton, id: 'flax', name: 'kelp green' };
    const { yarns, picks } = demand(beginSample({ name: 'trial', on: { loom: loom('p8'), warp }, weft, picks: 2 }));
    expect(Object.values(yarns).map(({ name }) => name)).toEqual([warp.yarns?.flax.name, 'kelp green']);
    expect(yarns[picks[0].passes[0].strands[0]].name).toBe('kelp green');
  });

  test('is refused a weave of no picks, in words', () => {
    const on = { loom: loom('p8'), warp: card('warps', 'towel', readWarpCard) };
    const outcome = beginSample({ name: 'trial', on, weft: cotton, picks: 8, repeat: [] });
    expect(outcome.ok ? '' : outcome.problems[0].message).toBe(
      'Repeat: has no picks. Give one pick or more, or leave it out for plain weave.',
    );
  });

  test.each([0, 2.5, 20_001])('is refused %d picks, with what can be given', (picks) => {
    const on = { loom: loom('p8'), warp: card('warps', 'towel', readWarpCard) };
    const outcome = beginSample({ name: 'trial', on, weft: cotton, picks });
    expect(outcome.ok ? '' : outcome.problems[0].message).toMatch(/20000/);
  });
});
