import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dropAim } from '#app/model/dropRange.ts';
import { numberEvery, ribbonBoundaries, threadAt } from '#app/model/ribbonScale.ts';
import { pickRange, rowRange } from '#app/model/rowsOfPicks.ts';
import { groupThreads } from '#app/model/threadGroups.ts';

const seed = 20261125;
const size = { widthPx: 800, heightPx: 600 };
const square = { targetXMm: 50, targetYMm: 50, yawRad: 0, pitchRad: 0, mmPerPx: 0.25 };

describe('threads as stripes', () => {
  it('one yarn is one stripe, one and one is one stripe of two lanes', () => {
    expect(groupThreads([3, 3, 3, 3])).toEqual([{ from: 0, to: 3, order: [3] }]);
    expect(groupThreads([0, 1, 0, 1, 0, 1])).toEqual([{ from: 0, to: 5, order: [0, 1] }]);
  });

  it('wide stripes stay stripes, and 2 and 1 repeated is one group', () => {
    const gamp = [0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1];
    expect(groupThreads(gamp).map((group) => group.order)).toEqual([[0], [1]]);
    expect(groupThreads([0, 0, 1, 0, 0, 1, 0, 0, 1])).toEqual([{ from: 0, to: 8, order: [0, 0, 1] }]);
  });

  it(`covers every thread once and says its yarn (seed ${seed})`, () => {
    fc.assert(
      fc.property(fc.array(fc.nat(3), { maxLength: 80 }), (yarnOf) => {
        const rebuilt: number[] = [];
        for (const group of groupThreads(yarnOf)) {
          expect(group.from).toBe(rebuilt.length);
          for (let i = group.from; i <= group.to; i++) rebuilt.push(group.order[(i - group.from) % group.order.length]);
        }
        expect(rebuilt).toEqual(yarnOf);
      }),
      { seed, numRuns: 500 },
    );
  });
});

describe('places on a ribbon', () => {
  const positionsMm = [10, 11, 13, 16, 20, 25];

  it('picks climb, ends run to the right, and turn with the cloth', () => {
    const picks = ribbonBoundaries(new Float32Array(7), positionsMm, 'picks', square, size);
    const ends = ribbonBoundaries(new Float32Array(7), positionsMm, 'ends', square, size);
    const over = ribbonBoundaries(new Float32Array(7), positionsMm, 'ends', { ...square, yawRad: Math.PI }, size);
    for (let i = 0; i < 6; i++) {
      expect(picks[i + 1]).toBeLessThan(picks[i]);
      expect(ends[i + 1]).toBeGreaterThan(ends[i]);
      expect(over[i + 1]).toBeLessThan(over[i]);
    }
    // 1 mm is 4 px; the boundary between the ends at 13 and 16 mm lies at 14.5 mm.
    expect(ends[3]).toBeCloseTo(400 + (14.5 - 50) * 4, 3);
  });

  it('finds the thread at a place whichever way the ribbon runs', () => {
    for (const pose of [square, { ...square, yawRad: Math.PI }]) {
      for (const axis of ['picks', 'ends'] as const) {
        const boundaries = ribbonBoundaries(new Float32Array(7), positionsMm, axis, pose, size);
        for (let i = 0; i < 6; i++) expect(threadAt(boundaries, 6, (boundaries[i] + boundaries[i + 1]) / 2)).toBe(i);
        expect(threadAt(boundaries, 6, boundaries[0] - 1000 * Math.sign(boundaries[1] - boundaries[0]))).toBe(0);
      }
    }
  });

  it('numbers stand apart and fall on 1, 2 or 5 times a power of ten', () => {
    expect(numberEvery(40, 30)).toBe(1);
    expect(numberEvery(4, 30)).toBe(10);
    expect(numberEvery(0.7, 30)).toBe(50);
  });

  it('rows and picks map onto each other where a pick has several passes', () => {
    const rowPick = Uint32Array.from([0, 1, 1, 1, 2, 3]);
    expect(rowRange(rowPick, { from: 1, to: 2 })).toEqual({ from: 1, to: 4 });
    expect(pickRange(rowPick, { from: 2, to: 4 })).toEqual({ from: 1, to: 2 });
    expect(rowRange(rowPick, { from: 4, to: 9 })).toBeUndefined();
  });
});

describe('what a dropped yarn takes the place of', () => {
  const colours = [['#000000'], ['#ffffff']];
  const threadsAt = (yarnOf: number[], pitchMm: number) => ({
    positionsMm: yarnOf.map((_, i) => 50 + (i - yarnOf.length / 2) * pitchMm),
    yarnOf,
    coloursOf: colours,
    namesOf: ['tar', 'gull'],
    widthMmOf: [0.4, 0.4],
  });

  it('near, the one pick; on the selection, all of it', () => {
    const threads = threadsAt([0, 1, 0, 1, 0, 1], 2);
    const middle = 300 - 1 * 4;
    const near = dropAim(threads, 'picks', square, size, undefined, middle, 0.5);
    expect(near!.range.from).toBe(near!.range.to);
    const whole = dropAim(threads, 'picks', square, size, { from: 1, to: 5 }, middle, 0.5);
    expect(whole).toEqual({ range: { from: 1, to: 5 }, replacing: undefined });
  });

  it('far, the stripe; of alternating wefts, the lane', () => {
    const order = [...new Array(40).fill(0), ...Array.from({ length: 40 }, (_, i) => i % 2)];
    const threads = threadsAt(order, 0.2);
    const low = dropAim(threads, 'picks', square, size, undefined, 300 + 10, 0.9);
    expect(low!.replacing).toBeUndefined();
    expect(low!.range.from).toBe(0);
    const high = dropAim(threads, 'picks', square, size, undefined, 300 - 20, 0.9);
    expect(high!.range.to).toBe(79);
    expect(high!.replacing).toBeDefined();
    const other = dropAim(threads, 'picks', square, size, undefined, 300 - 20, 0.1);
    expect(other!.replacing).not.toBe(high!.replacing);
  });

  it('of several passes in one shed, the one aimed at, near and far, from either side', () => {
    const spanOf = [undefined, { from: 0.5, to: 1 }];
    const near = { ...threadsAt([0, 1, 0], 2), spanOf, sourceOf: [7, 9], pickOf: [0, 0, 1] };
    const at = (row: number) => dropAim(near, 'picks', square, size, undefined, 300 - (row - 1.5) * 8, 0.5);
    expect(at(1)).toEqual({ range: { from: 1, to: 1 }, replacing: 9 });
    expect(at(0)!.replacing).toBe(7);
    expect(at(2)!.replacing).toBeUndefined();
    const far = {
      ...threadsAt(
        Array.from({ length: 80 }, (_, i) => i % 2),
        0.2,
      ),
      spanOf,
      sourceOf: [7, 9],
    };
    expect(dropAim(far, 'picks', square, size, undefined, 300, 0.8)!.replacing).toBe(9);
    expect(dropAim(far, 'picks', square, size, undefined, 300, 0.2)!.replacing).toBe(7);
    const over = { ...square, yawRad: Math.PI };
    expect(dropAim(far, 'picks', over, size, undefined, 300, 0.2)!.replacing).toBe(9);
  });
});
