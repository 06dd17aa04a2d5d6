import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { distinctEnds } from '#engine/draft/distinct.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { brokenOrder, loneThreads } from '#engine/weave/checks/brokenOrder.ts';
import { checkCloth } from '#engine/weave/checks/checkCloth.ts';
import { findSecondBeam } from '#engine/weave/checks/secondBeam.ts';
import { findSelvedges, MOST_UNCAUGHT } from '#engine/weave/checks/selvedges.ts';
import { doublePlain } from '#engine/weave/compoundWeaves.ts';
import { ASHENHURST_K, ashenhurstDiametersPerCm, maximumSettPerCm, weaveRepeat } from '#engine/weave/sett.ts';
import { checkedPiece } from '#tests/helpers/checkedPiece.ts';

const entersRight = (rows: number, first: 0 | 1) => Array.from({ length: rows }, (_, row) => (row + first) % 2);

describe('selvedges', () => {
  it('plain weave catches both edge ends at every turn, from whichever side it is begun', () => {
    for (const first of [0, 1] as const) {
      expect(findSelvedges(checkedPiece(plainWeave(), 24, 12, { rowEntersRight: entersRight(24, first) }))).toEqual([]);
    }
  });

  it('2/2 twill on a straight draw: one start catches both edges, the other neither (common practice)', () => {
    // End 1 is up on picks 1 and 4, end 4 on 3 and 4. Turns at the left come after picks 2, 4 … when begun from the left.
    const from = (first: 0 | 1) =>
      findSelvedges(checkedPiece(twill([2, 2]), 32, 16, { rowEntersRight: entersRight(32, first) }));
    const starts = [from(0), from(1)];
    const missed = starts.find((found) => found.length === 2);
    expect(starts.filter((found) => found.length === 0)).toHaveLength(1);
    expect(missed?.map((each) => each.kind === 'selvedge' && [each.edge, each.uncaughtRows, each.cure])).toEqual([
      ['left', 32, { startOther: [0] }],
      ['right', 32, { startOther: [0] }],
    ]);
  });

  it('an eight-end satin needs floating selvedges, and one is enough for its edge', () => {
    const cloth = checkedPiece(satin(8, 3, 'weft'), 48, 24);
    const found = findSelvedges(cloth);
    expect(found.map((each) => each.kind === 'selvedge' && each.cure)).toContain('floatingSelvedge');
    const endFloating = Array.from({ length: 24 }, (_, end) => (end === 0 || end === 23 ? 1 : 0));
    expect(findSelvedges({ ...cloth, endFloating })).toEqual([]);
  });

  it('wefts that are cut at the edge catch nothing there', () => {
    const cloth = checkedPiece(plainWeave(), 24, 12, { rowTurns: Array.from({ length: 24 }, () => 0) });
    expect(findSelvedges(cloth).map((each) => each.kind === 'selvedge' && each.uncaughtRows)).toEqual([24, 24]);
    expect(MOST_UNCAUGHT).toBeLessThan(24);
  });
});

describe('orders that one thread breaks', () => {
  const repeating = fc
    .tuple(fc.array(fc.integer({ min: 0, max: 3 }), { minLength: 2, maxLength: 9 }), fc.integer({ min: 8, max: 12 }))
    .map(([unit, times]) => Array.from({ length: unit.length * times }, (_, k) => unit[k % unit.length]))
    .filter((order) => new Set(order).size > 1);

  it('finds none in an order that goes through (seed 81)', () => {
    fc.assert(
      fc.property(repeating, fc.nat({ max: 8 }), (order, cut) => {
        expect(brokenOrder(order.slice(0, order.length - cut))).toBeUndefined();
      }),
      { seed: 81, numRuns: 300 },
    );
  });

  it('finds the one that was left out, put in or exchanged, within a repeat of it, and mends it (seed 82)', () => {
    fc.assert(
      fc.property(
        repeating,
        fc.double({ min: 0.4, max: 0.6, noNaN: true }),
        fc.constantFrom('out', 'in', 'other'),
        (order, share, how) => {
          const at = Math.floor(share * order.length);
          const foreign = (order[at] + 1) % 4;
          const broken = [...order];
          if (how === 'out') broken.splice(at, 1);
          else broken.splice(at, how === 'in' ? 0 : 1, how === 'in' ? order[at] : foreign);
          const found = brokenOrder(broken);
          // A repeat may survive by chance (1 1 1 2 with a 1 left out is found; 1 2 1 2 with two left out is not one).
          expect(found).toBeDefined();
          if (!found?.repeat) return;
          expect(Math.abs(found.at - at)).toBeLessThanOrEqual(found.repeat + 1);
          const mended = [...broken];
          const expected = broken[found.at - found.repeat];
          if (found.what === 'extra') mended.splice(found.at, 1);
          else mended.splice(found.at, found.what === 'other' ? 1 : 0, expected);
          for (let k = found.repeat; k < mended.length; k++) expect(mended[k]).toBe(mended[k - found.repeat]);
        },
      ),
      { seed: 82, numRuns: 300 },
    );
  });

  it('a mirror of stripes with one end lost (common practice: the end lost at a change of colour)', () => {
    const half = [0, 0, 0, 0, 1, 1, 2, 2, 2, 0, 1, 1, 1, 2];
    const mirror = [...half, ...[...half].reverse()];
    expect(brokenOrder(mirror)).toBeUndefined();
    const lost = mirror.filter((_, k) => k !== 11);
    expect(brokenOrder(lost)).toMatchObject({ what: 'extra' });
    const exchanged = mirror.map((value, k) => (k === 10 ? 2 : value));
    expect(brokenOrder(exchanged)).toMatchObject({ at: 10, what: 'other' });
  });

  it('a mirrored panel within a plain warp with one end too many, and none where the panel is whole (seed 83)', () => {
    const stripes = fc.array(fc.tuple(fc.nat({ max: 3 }), fc.integer({ min: 2, max: 9 })), {
      minLength: 8,
      maxLength: 14,
    });
    fc.assert(
      fc.property(stripes, fc.integer({ min: 3, max: 4 }), fc.integer({ min: 5, max: 60 }), (drawn, at, left) => {
        // Neighbouring stripes differ, so that each is a stripe.
        const half = drawn.map(([, width], k) => [(k * 2 + drawn[k][0] + (k > 0 ? drawn[k - 1][0] : 0)) % 5, width]);
        for (let k = 1; k < half.length; k++) if (half[k][0] === half[k - 1][0]) half[k][0] = (half[k][0] + 1) % 5;
        const side = half.flatMap(([kind, width]) => Array<number>(width).fill(kind));
        const panel = [...side.toReversed(), ...side];
        const ground = (count: number) => Array<number>(count).fill(7);
        const order = (threads: readonly number[]) => [...ground(left), ...threads, ...ground(90)];
        expect(brokenOrder(order(panel))).toBeUndefined();
        // Of a stripe some way out from the middle one thread more.
        const before = half.slice(0, at).reduce((sum, [, width]) => sum + width, 0);
        const beyond = half.slice(at + 1).reduce((sum, [, width]) => sum + width, 0);
        fc.pre(beyond >= 10);
        const more = [...side.slice(0, before), half[at][0], ...side.slice(before)];
        const found = brokenOrder(order([...side.toReversed(), ...more]));
        expect(found).toMatchObject({ what: 'extra' });
        const middle = left + side.length;
        // It is told at that stripe's end: no one can say which of its threads is the one too many.
        expect(Math.abs((found?.at ?? 0) - (middle + before + half[at][1]))).toBeLessThanOrEqual(half[at][1] + 1);
      }),
      { seed: 83, numRuns: 200 },
    );
  });

  it('no mirror is told in orders drawn by chance (seed 84)', () => {
    const chance = fc.array(fc.nat({ max: 2 }), { minLength: 100, maxLength: 400 });
    fc.assert(
      fc.property(chance, (order) => {
        expect(brokenOrder(order)).toBeUndefined();
      }),
      { seed: 84, numRuns: 200 },
    );
  });

  it('a point draw that lost an end at its turn', () => {
    const point = Array.from({ length: 48 }, (_, k) => [1, 2, 3, 4, 3, 2][k % 6]);
    point.splice(21, 1);
    expect(brokenOrder(point)).toMatchObject({ what: 'missing', repeat: 6 });
  });

  it('a lone thread among many alike, but not one in the middle, at the edge or in a picture', () => {
    const order = Array.from({ length: 40 }, () => 0);
    expect(loneThreads(order.with(12, 1))).toEqual([12]);
    for (const k of [0, 3, 19, 20, 36, 39]) expect(loneThreads(order.with(k, 1))).toEqual([]);
    expect(loneThreads(Array.from({ length: 40 }, (_, k) => k))).toEqual([]);
    // A point draw's turning end, off the middle of the warp, is alone because it is the turn.
    const point = Array.from({ length: 60 }, (_, k) => 20 - Math.abs((k % 40) - 20));
    expect(loneThreads(point)).toEqual([]);
    // The same with two ends of a ground, straight on, before each.
    expect(loneThreads(point.flatMap((shaft) => [30, 31, shaft]))).toEqual([]);
  });
});

describe('two beams', () => {
  const stripes = Array.from({ length: 40 }, (_, end) => (end % 20 < 10 ? 0 : 1));
  const cloth = (factors: readonly [number, number]) =>
    checkedPiece(plainWeave(), 20, 40, {
      yarns: [
        { pile: false, diameterMm: 0.5 },
        { pile: false, diameterMm: 0.5 },
      ],
      endYarn: stripes,
      endLengthFactor: stripes.map((yarn) => factors[yarn]),
    });
  const beamsOf = (of: ReturnType<typeof cloth>) => findSecondBeam(of, distinctEnds(of.drawdown));

  it('20 ends that take 1.02 m for a metre hang by 19.6 mm where the others take 1.04', () => {
    const [found] = beamsOf(cloth([1.04, 1.02]));
    expect(found).toMatchObject({ kind: 'secondBeam', ends: 20, places: [{ fromEnd: 10, toEnd: 19 }] });
    // By hand: of 1.04 m laid off for both, the others have 20 mm over in 1.04 m: 19.2 mm in each metre of warp.
    expect(found.kind === 'secondBeam' && found.slackMmPerM).toBeCloseTo((1000 * 0.02) / 1.04, 9);
  });

  it('one beam does where they differ by less than the warp gives', () => {
    expect(beamsOf(cloth([1.04, 1.035]))).toEqual([]);
  });
});

describe('sett', () => {
  const tex = 74;
  const diameterMm = 10 / ashenhurstDiametersPerCm(tex, ASHENHURST_K.firm);

  it.each([
    ['plain', plainWeave()],
    ['2/2 twill', twill([2, 2])],
    ['eight-end satin', satin(8, 3, 'warp')],
  ])('%s at Ashenhurst’s maximum is full (T. R. Ashenhurst 1884)', (_, weave) => {
    const perCm = maximumSettPerCm(tex, ASHENHURST_K.firm, weaveRepeat(weave).weft);
    const ends = 40 * weave.ends;
    const cloth = checkedPiece(weave, 8 * weave.rows, ends, {
      yarns: [{ pile: false, diameterMm }],
      onLoom: { widthMm: (10 * ends) / perCm, lengthMm: (80 * weave.rows) / perCm },
    });
    const [warp] = checkCloth(cloth, null).filter((each) => each.kind === 'sett' && each.system === 'warp');
    // A piece lacks the intersection that its last end would make with the next repeat: one in 40 repeats.
    expect(warp.kind === 'sett' && Math.abs(warp.shareOfMaximum - 1)).toBeLessThan(1 / 40);
  });

  it('a thick weft across fine ends takes the ends’ room at an intersection, not its own', () => {
    // Rope across fine warp: ends 0.5 mm, weft 5 mm, plain, 8 ends a cm: half of the width is ends, half intersections.
    const yarns = [
      { pile: false, diameterMm: 0.5 },
      { pile: false, diameterMm: 5 },
    ];
    const rowYarn = Array.from({ length: 40 }, () => 1);
    const cloth = checkedPiece(plainWeave(), 40, 40, { yarns, rowYarn, onLoom: { widthMm: 50, lengthMm: 240 } });
    const [warp] = checkCloth(cloth, null).filter((each) => each.kind === 'sett' && each.system === 'warp');
    // 40 ends and 39 intersections of 0.5 mm in 50 mm.
    expect(warp.kind === 'sett' && warp.shareOfMaximum).toBeCloseTo((79 * 0.5) / 50, 9);
  });

  it('is not told where layers change places from block to block', () => {
    const [face, back] = [
      doublePlain(['face', 'back'], ['face', 'back']),
      doublePlain(['back', 'face'], ['back', 'face']),
    ];
    const pockets = blockDrawdown(
      [
        [0, 1],
        [1, 0],
      ],
      [face, back],
      48,
      32,
    );
    const kinds = checkCloth(checkedPiece(pockets, 64, 96), null).map(({ kind }) => kind);
    expect(kinds).not.toContain('sett');
  });

  it('each layer of a double cloth is as full as the cloth that it is', () => {
    const single = checkedPiece(plainWeave(), 40, 40, { onLoom: { widthMm: 50, lengthMm: 50 } });
    const double = checkedPiece(doublePlain(['face', 'back'], ['face', 'back']), 80, 80, { onLoom: single.onLoom });
    const shares = (cloth: typeof single) =>
      checkCloth(cloth, null).flatMap((each) => (each.kind === 'sett' ? [each.shareOfMaximum] : []));
    expect(shares(double)).toEqual(shares(single));
    expect(tile(plainWeave(), 2, 2)).toEqual(plainWeave());
  });
});
