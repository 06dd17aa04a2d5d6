import { describe, expect, it } from 'vitest';
import { type ListedPick, type ListedRound, weavingList } from '#document/weavingList.ts';
import { listPresets, readSamplePreset } from '#io/presets.ts';
import { smallSample } from './smallSample.ts';

const unfold = (rounds: readonly ListedRound[]) =>
  rounds.flatMap(({ picks, times }) => Array.from({ length: times }, () => picks).flat());
const sides = { left: '→', right: '←' } as const;
const line = ({ lift, passes }: ListedPick) =>
  `${lift.join('+')} ${passes.map(({ letters, enters, span }) => `${letters}${sides[enters]}${span ? span.join('-') : ''}`).join(' ')}`;

describe('the weaving list', () => {
  it('writes what comes again once, with how often, and tells wefts by letters in the order they are laid', () => {
    const { wefts, parts } = weavingList(smallSample());
    // By hand from the sample: plain, four picks of kelp; kelp with rope laid in over ends 5 to 12; one more of kelp;
    // gull; gull and rope together, beaten softer; four of gull.
    expect(wefts.map(({ letter, yarnId }) => `${letter} ${yarnId}`)).toEqual(['A kelp', 'B rope', 'C gull']);
    expect(parts.map(({ fromPick, times }) => [fromPick, times])).toEqual([[1, 1]]);
    expect(parts[0].picks.map(line)).toEqual([
      '1+3+5+7 A→',
      '2+4+6+8 A←',
      '1+3+5+7 A→',
      '2+4+6+8 A←',
      '1+3+5+7 A→ B→5-12',
      '2+4+6+8 A←',
      '1+3+5+7 C→',
      '2+4+6+8 C+B←',
      '1+3+5+7 C→',
      '2+4+6+8 C←',
      '1+3+5+7 C→',
      '2+4+6+8 C←',
    ]);
    expect(parts[0].picks[7].beatPercent).toBe(40);
    expect(parts[0].picks[6].beatPercent).toBeUndefined();
    expect(parts[0].picks[4].passes.map(({ tailMm }) => tailMm)).toEqual([undefined, 6]);
  });

  it('tells a beat of its own against the rest where picks per cm are fixed: its own firmness is not known', () => {
    const small = smallSample();
    const [{ picks }] = weavingList({ ...small, beat: { ...small.beat, fixedPicksPerCm: 8 } }).parts;
    // 0.4 where the sample has 0.7.
    expect(picks[7]).toMatchObject({ firmerByPercent: -30 });
    expect(picks[7].beatPercent).toBeUndefined();
    expect(picks[6].firmerByPercent).toBeUndefined();
  });

  it('keeps picks apart that differ in the length of their tails alone', () => {
    const small = smallSample();
    const cut = (tailMm: number) => ({
      lift: [1, 3],
      passes: [{ strands: ['kelp'], enters: 'left' as const, ends: 'cut' as const, tailMm }],
    });
    const picks = Array.from({ length: 12 }, (_, k) => cut(k < 6 ? 8 : 20));
    const { parts } = weavingList({ ...small, picks });
    expect(parts.map(({ times, picks: [{ passes }] }) => [times, passes[0].tailMm])).toEqual([
      [6, 8],
      [6, 20],
    ]);
  });

  it('writes 4 picks 6 times, and what is left over by itself', () => {
    const small = smallSample();
    const lifts = [
      [1, 2],
      [2, 3],
      [3, 4],
      [1, 4],
    ];
    const picks = Array.from({ length: 26 }, (_, k) => ({ ...small.picks[k % 2], lift: lifts[k % 4] }));
    const { parts } = weavingList({ ...small, picks });
    expect(parts.map(({ fromPick, picks: each, times }) => [fromPick, each.length, times])).toEqual([
      [1, 4, 6],
      [25, 2, 1],
    ]);
    expect(parts[0].picks.map(({ lift }) => lift)).toEqual(lifts);
  });

  it('writes rounds within a round once: squares of two lifts in turn, six rounds of four each, twice over', () => {
    const small = smallSample();
    const square = (lifts: number[][]) => Array.from({ length: 24 }, (_, k) => lifts[k % 4]);
    const once = [...square([[1, 5], [2], [6], [3]]), ...square([[4], [7], [8], [1, 2]])];
    const picks = [...once, ...once].map((lift, k) => ({ ...small.picks[k % 2], lift }));
    const { parts } = weavingList({ ...small, picks });
    expect(parts.map(({ fromPick, times, picks: each }) => [fromPick, times, each.length])).toEqual([[1, 2, 48]]);
    expect(parts[0].rounds.map(({ fromPick, times, picks: each }) => [fromPick, times, each.length])).toEqual([
      [1, 6, 4],
      [25, 6, 4],
    ]);
  });

  it('gives back every pick of every sample of the harbour, in order', async () => {
    for (const { id } of listPresets('samples')) {
      const read = await readSamplePreset(id);
      if (!read.ok) throw new Error(id);
      const { wefts, parts } = weavingList(read.value);
      const ids = new Map(wefts.map(({ letter, yarnId }) => [letter, yarnId]));
      const { warp, beat } = read.value;
      const written = parts.flatMap(({ rounds, times }) => Array.from({ length: times }, () => unfold(rounds)).flat());
      expect(
        written.map(({ lift, passes, beatPercent, pauseBeforeMin }) => ({
          lift,
          beatPercent,
          pauseBeforeMin,
          passes: passes.map(({ letters, ...pass }) => ({
            strands: letters.split('+').map((letter) => ids.get(letter)),
            ...pass,
          })),
        })),
        id,
      ).toEqual(
        read.value.picks.map((pick) => ({
          lift: [...pick.lift].sort((a, b) => a - b),
          // To the nearest 5 %; no sample of the harbour has a beat so little off its own that it is left out.
          beatPercent: pick.beat === undefined ? undefined : 5 * Math.round(20 * pick.beat),
          pauseBeforeMin: pick.pauseBeforeMin,
          passes: pick.passes.map(({ fromEnd, toEnd, ...pass }) => ({
            ...pass,
            ...(fromEnd || toEnd ? { span: [fromEnd ?? 1, toEnd ?? warp.ends] } : {}),
          })),
        })),
      );
      expect(beat.fixedPicksPerCm, id).toBeUndefined();
      let next = 1;
      for (const { fromPick, picks, times, rounds } of parts) {
        expect(fromPick, id).toBe(next);
        expect(unfold(rounds), id).toEqual(picks);
        next += picks.length * times;
      }
    }
  });
});
