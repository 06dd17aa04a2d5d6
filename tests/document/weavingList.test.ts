import { describe, expect, it } from 'vitest';
import { linesIn } from '#document/comesAgain.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { type ListedItem, type ListedPick, weavingList } from '#document/weavingList.ts';
import { listPresets, readSamplePreset } from '#io/presets.ts';
import { smallSample } from './smallSample.ts';

/** Woven line by line as the list says: what is pointed to is looked up under the numbers that it has in the cloth. */
function woven(items: readonly ListedItem[], cloth: ListedPick[] = []): ListedPick[] {
  for (const item of items) {
    expect(cloth.length).toBe(item.fromPick - 1);
    if (item.kind === 'lines') cloth.push(...item.picks);
    else if (item.kind === 'again') {
      const as = cloth.slice(item.asPick - 1, item.asPick - 1 + item.count);
      expect(as).toHaveLength(item.count);
      for (let time = 0; time < item.times; time++) cloth.push(...as.map((pick) => but(pick, item.otherwise)));
    } else {
      woven(item.items, cloth);
      const once = cloth.slice(item.fromPick - 1);
      expect(once).toHaveLength(item.count);
      for (let time = 1; time < item.times; time++) cloth.push(...once);
    }
  }
  return cloth;
}

type Otherwise = Extract<ListedItem, { kind: 'again' }>['otherwise'];

function but({ beatPercent, firmerByPercent, ...pick }: ListedPick, otherwise: Otherwise): ListedPick {
  const own = {
    ...(beatPercent === undefined ? {} : { beatPercent }),
    ...(firmerByPercent === undefined ? {} : { firmerByPercent }),
  };
  if (!otherwise) return { ...pick, ...own };
  const { what, ...said } = otherwise;
  if (what === 'beat') return { ...pick, ...said };
  if (otherwise.what === 'lifts') {
    const [was, now] = otherwise.swap;
    return { ...pick, ...own, lift: pick.lift.map((each) => (each === was ? now : each)).sort((a, b) => a - b) };
  }
  const passes = pick.passes.map((pass) =>
    otherwise.what === 'wefts'
      ? { ...pass, letters: otherwise.swaps.find(([was]) => was === pass.letters)?.[1] ?? pass.letters }
      : { ...pass, enters: pass.enters === 'left' ? ('right' as const) : ('left' as const) },
  );
  return { ...pick, ...own, passes };
}

const told = (items: readonly ListedItem[]): unknown[] =>
  items.map((item) =>
    item.kind === 'lines'
      ? [item.fromPick, item.picks.length]
      : item.kind === 'round'
        ? [item.fromPick, item.count, item.times, told(item.items)]
        : { from: item.fromPick, as: item.asPick, count: item.count, times: item.times, but: item.otherwise },
  );

/** Lifts one after the other, in two picks' wefts and sides in turn. */
function lifted(lifts: readonly number[][]): Sample {
  const small = smallSample();
  return { ...small, picks: lifts.map((lift, k) => ({ passes: small.picks[k % 2].passes, lift })) };
}
const inWeft = (yarn: string, picks: Sample['picks']) =>
  picks.map((pick) => ({ ...pick, passes: pick.passes.map((pass) => ({ ...pass, strands: [yarn] })) }));
const times = <T>(count: number, each: readonly T[]): T[] => Array.from({ length: count }, () => each).flat();
const twill = [
  [1, 2],
  [2, 3],
  [3, 4],
  [1, 4],
];
const sides = { left: '→', right: '←' } as const;
const line = ({ lift, passes }: ListedPick) =>
  `${lift.join('+')} ${passes.map(({ letters, enters, span }) => `${letters}${sides[enters]}${span ? span.join('-') : ''}`).join(' ')}`;

describe('the weaving list', () => {
  it('writes what comes again once, with how often, and tells wefts by letters in the order they are laid', () => {
    const { wefts, items } = weavingList(smallSample());
    // By hand from the sample: plain, four picks of kelp; kelp with rope laid in over ends 5 to 12; one more of kelp;
    // gull; gull and rope together, beaten softer; four of gull.
    expect(wefts.map(({ letter, yarnId }) => `${letter} ${yarnId}`)).toEqual(['A kelp', 'B rope', 'C gull']);
    expect(told(items)).toEqual([[1, 12]]);
    const [{ picks }] = linesIn(items);
    expect(picks.map(line)).toEqual([
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
    expect(picks[7].beatPercent).toBe(40);
    expect(picks[6].beatPercent).toBeUndefined();
    expect(picks[4].passes.map(({ tailMm }) => tailMm)).toEqual([undefined, 6]);
  });

  it('tells a beat of its own against the rest where picks per cm are fixed: its own firmness is not known', () => {
    const small = smallSample();
    const [{ picks }] = linesIn(weavingList({ ...small, beat: { ...small.beat, fixedPicksPerCm: 8 } }).items);
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
    const { items } = weavingList({ ...small, picks });
    expect(told(items)).toEqual([
      [1, 1, 6, [[1, 1]]],
      [7, 1, 6, [[7, 1]]],
    ]);
    expect(linesIn(items).map(({ picks: [{ passes }] }) => passes[0].tailMm)).toEqual([8, 20]);
  });

  it('writes 4 picks 6 times, and what is left over by itself', () => {
    const { items } = weavingList(lifted(Array.from({ length: 26 }, (_, k) => twill[k % 4])));
    expect(told(items)).toEqual([
      [1, 4, 6, [[1, 4]]],
      [25, 2],
    ]);
    expect(linesIn(items)[0].picks.map(({ lift }) => lift)).toEqual(twill);
  });

  it('writes rounds within a round once: squares of two lifts in turn, six rounds of four each, twice over', () => {
    const once = [...times(6, [[1, 5], [2], [6], [3]]), ...times(6, [[4], [7], [8], [1, 2]])];
    expect(told(weavingList(lifted([...once, ...once])).items)).toEqual([
      [
        1,
        48,
        2,
        [
          [1, 4, 6, [[1, 4]]],
          [25, 4, 6, [[25, 4]]],
        ],
      ],
    ]);
  });

  it('goes as deep as rounds within rounds do', () => {
    const squares = [...times(3, [[1, 5], [2], [6], [3]]), ...times(3, [[4], [7]])];
    const band = [...times(2, squares), [8], [1, 2]];
    const sample = lifted(times(3, band));
    const { items } = weavingList(sample);
    expect(told(items)).toEqual([
      [
        1,
        38,
        3,
        [
          [
            1,
            18,
            2,
            [
              [1, 4, 3, [[1, 4]]],
              [13, 2, 3, [[13, 2]]],
            ],
          ],
          [37, 2],
        ],
      ],
    ]);
    expect(woven(items).map(({ lift }) => lift)).toEqual(sample.picks.map(({ lift }) => lift));
  });

  it('tells picks that come again later by those written: alike, and in another weft', () => {
    const sample = lifted(times(5, twill));
    const stripes = [...inWeft('kelp', sample.picks), ...inWeft('gull', sample.picks), ...inWeft('kelp', sample.picks)];
    const { items } = weavingList({ ...sample, picks: stripes });
    expect(told(items)).toEqual([
      [1, 4, 5, [[1, 4]]],
      { from: 21, as: 1, count: 4, times: 5, but: { what: 'wefts', swaps: [['A', 'B']] } },
      { from: 41, as: 1, count: 4, times: 5, but: undefined },
    ]);
    expect(told(weavingList({ ...sample, picks: stripes }, false).items)).toEqual([
      [1, 4, 5, [[1, 4]]],
      [21, 4, 5, [[21, 4]]],
      [41, 4, 5, [[41, 4]]],
    ]);
  });

  it('tells one beat, the other side or one shaft in place of another, and nothing where two things differ', () => {
    const { picks, ...rest } = lifted(times(5, twill));
    const listed = (later: Sample['picks']) => told(weavingList({ ...rest, picks: [...picks, ...later] }).items)[1];
    const turned = (all: Sample['picks']) =>
      all.map((pick) => ({
        ...pick,
        passes: pick.passes.map((pass) => ({ ...pass, enters: pass.enters === 'left' ? 'right' : 'left' }) as const),
      }));
    const beaten = picks.map((pick) => ({ ...pick, beat: 0.3 }));
    const on = picks.map((pick) => ({ ...pick, lift: pick.lift.map((shaft) => (shaft === 4 ? 7 : shaft)) }));
    const as = { from: 21, as: 1, count: 4, times: 5 };
    expect(listed(beaten)).toEqual({ ...as, but: { what: 'beat', beatPercent: 30 } });
    expect(listed(on)).toEqual({ ...as, but: { what: 'lifts', swap: [4, 7] } });
    expect(listed(turned(picks))).toEqual({ ...as, but: { what: 'sides' } });
    expect(listed(turned(beaten))).toEqual([21, 4, 5, [[21, 4]]]);
    // One weft for two of before: which of them it was could not be told from it.
    const two = picks.map((pick, k) => inWeft(k % 2 ? 'gull' : 'kelp', [pick])[0]);
    const both = weavingList({ ...rest, picks: [...two, ...inWeft('rope', picks)] });
    expect(told(both.items)[1]).toEqual([21, 4, 5, [[21, 4]]]);
  });

  it('points from one group of pieces to another, with the rounds that it goes through', () => {
    const sample = lifted([
      ...times(6, [
        [1, 3],
        [2, 4],
      ]),
      ...twill,
    ]);
    const { items } = weavingList({ ...sample, picks: [...sample.picks, ...inWeft('gull', sample.picks)] });
    expect(told(items)[2]).toEqual({
      from: 17,
      as: 1,
      count: 16,
      times: 1,
      but: { what: 'wefts', swaps: [['A', 'B']] },
    });
    expect(items[2]).toMatchObject({ rounds: [{ fromPick: 17, count: 2, times: 6, outer: 1 }] });
  });

  it.each([1, 2, 3, 4, 5, 6, 7, 8])(
    'weaves the same picks as the sample, stitched together by chance, seed %i',
    (seed) => {
      let state = seed;
      const below = (most: number) => {
        state = (state * 16_807) % 2_147_483_647;
        return state % most;
      };
      const small = smallSample();
      const pieces = Array.from({ length: 5 }, () =>
        lifted(Array.from({ length: 1 + below(11) }, () => [1 + below(3), 5 + below(3)])).picks.map((pick) => ({
          ...pick,
        })),
      );
      const picks = Array.from({ length: 30 }, () => {
        const piece = inWeft(['kelp', 'gull', 'rope'][below(3)], times(1 + below(4), pieces[below(5)]));
        return below(4) === 0 ? piece.map((pick) => ({ ...pick, beat: 0.35 })) : piece;
      }).flat();
      const sample = { ...small, picks };
      const inFull = woven(weavingList(sample, false).items);
      const { items } = weavingList(sample);
      expect(items.some(({ kind }) => kind === 'again')).toBe(true);
      expect(woven(items)).toEqual(inFull);
      expect(inFull.map(({ lift, beatPercent }) => [lift, beatPercent])).toEqual(
        picks.map(({ lift, ...pick }) => [lift, 'beat' in pick ? 35 : undefined]),
      );
    },
  );

  it('gives back every pick of every sample of the harbour, in order', async () => {
    for (const { id } of listPresets('samples')) {
      const read = await readSamplePreset(id);
      if (!read.ok) throw new Error(id);
      const { wefts, items } = weavingList(read.value);
      const ids = new Map(wefts.map(({ letter, yarnId }) => [letter, yarnId]));
      const { warp, beat } = read.value;
      expect(
        woven(items).map(({ lift, passes, beatPercent, pauseBeforeMin }) => ({
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
    }
  });
});
