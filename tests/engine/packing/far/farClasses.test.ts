import { describe, expect, test } from 'vitest';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import { classifyCrossings } from '#engine/packing/far/classes.ts';
import { MOST_CLASSES, PLACE_TEXELS, PLACES } from '#engine/packing/far/farTypes.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { clothFixture, type FixtureOptions } from '#tests/helpers/clothFixtures.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });

function packed(options: FixtureOptions) {
  const { problem, geometry, materials } = clothFixture(options);
  return packCloth(problem, geometry, materials);
}

function classesOf(options: FixtureOptions) {
  const sorting = classifyCrossings(new ClothReader(packed(options)));
  for (;;) {
    const step = sorting.next();
    if (step.done) return step.value;
  }
}

describe('crossings that look alike', () => {
  test('plain weave has two kinds, 2/2 twill four', () => {
    const yarns = { ends: 40, rows: 40, warp: [round(0.8)], weft: [round(0.8)] };
    expect(classesOf(yarns).count).toBe(2);
    expect(classesOf({ ...yarns, warpUp: (row, end) => (end - row + 400) % 4 < 2 }).count).toBe(4);
  });

  test('are told apart by colour where the weave is one', () => {
    const stripes = classesOf({
      ends: 40,
      rows: 40,
      warp: [round(0.8), round(0.8)],
      weft: [round(0.8)],
      endYarn: (k) => (k % 8 < 4 ? 0 : 1),
    });
    // Two lifts, and an end of either yarn within its stripe or at its one or other edge.
    expect(stripes.count).toBe(12);
  });

  test('stay few, and each crossing keeps its own lift and yarns, however irregular the lifts, seed 5', () => {
    const random = seededRandom(5);
    const lifts = Uint8Array.from({ length: 10000 }, () => (random() < 0.4 ? 1 : 0));
    const warpUp = (row: number, end: number) => lifts[row * 100 + end] === 1;
    const endYarn = (end: number) => end % 3;
    const { count, classOf } = classesOf({
      ends: 100,
      rows: 100,
      warp: [round(0.8), round(0.8), round(0.8)],
      weft: [round(0.8)],
      endYarn,
      warpUp,
    });
    expect(count).toBeGreaterThan(6);
    expect(count).toBeLessThanOrEqual(MOST_CLASSES);
    const first = new Map<number, string>();
    for (let at = 0; at < classOf.length; at++) {
      const look = `${warpUp(Math.floor(at / 100), at % 100)} ${endYarn(at % 100)}`;
      if (!first.has(classOf[at])) first.set(classOf[at], look);
      expect(first.get(classOf[at])).toBe(look);
    }
  });

  test('repeat with the cloth only where the yarns do', () => {
    const repeat = {
      ends: 40,
      rows: 40,
      warp: [round(0.8), round(0.8)],
      weft: [round(0.8)],
      periodEnds: 4,
      periodRows: 4,
    };
    const same = classesOf(repeat);
    expect([same.lines, same.ends]).toEqual([4, 4]);
    const striped = classesOf({ ...repeat, endYarn: (k) => (k < 20 ? 0 : 1) });
    expect([striped.lines, striped.ends]).toEqual([40, 40]);
  });
});

test('partial passes: where no weft runs, warp alone shows', () => {
  const far = buildFar(
    packed({
      ends: 40,
      rows: 40,
      warp: [round(0.5)],
      weft: [round(0.5)],
      rowSpan: () => [0, 19],
    }),
  );
  const bare = far.classOf[20 * far.ends + 30];
  expect(bare).not.toBe(far.classOf[20 * far.ends + 10]);
  // Where it is looked at, too, no weft runs.
  for (let k = 0; k < PLACES; k++) {
    const at = (bare * PLACES + k) * PLACE_TEXELS * 4;
    expect(0.5 * (far.placeTable[at] + far.placeTable[at + 2])).toBeGreaterThan(19);
  }
});
