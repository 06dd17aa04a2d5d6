import { beforeAll, describe, expect, test } from 'vitest';
import { runYarnProbe, type YarnPlace } from '#tests/helpers/yarnProbe.ts';
import { foldAt, MAKES, type MadeOf, makeRelief } from '#tests/helpers/yarnReliefTwin.ts';
import { placesOn, type YarnsOfShelf, yarnsOfShelf } from '#tests/helpers/yarnScenes.ts';

const SEED = 51_733;
const RISE = 0.4;
/** As far along as single precision still tells a pattern's place to 1e-5. */
const LENGTH_MM = 40;
const NEAR_MM = 0.005;

/** As the shelf has them: a strip of sheeting, jersey, felt, a braid, raffia, denim, paper. */
const SIZES: Record<(typeof MAKES)[number], readonly [number, number]> = {
  woven: [0.4, 0.4],
  knitted: [0.8, 0.6],
  felted: [0.6, 0.6],
  braided: [1.5, 1.5],
  leaf: [0.3, 6],
  twill: [0.5, 0.6],
  creased: [0.7, 1.4],
};
const MADE: readonly MadeOf[] = MAKES.map((kind) => ({
  kind,
  acrossMm: Math.fround(SIZES[kind][0]),
  alongMm: Math.fround(SIZES[kind][1]),
}));

let shelf: YarnsOfShelf;
beforeAll(async () => {
  shelf = await yarnsOfShelf(['braided-cord-4', 'cloth-strip-6']);
});
const CORD = 0;
const STRIP = 1;

/** Slope along and around, light let in, slant. */
function shownRelief(places: readonly YarnPlace[], { kind, acrossMm, alongMm }: MadeOf): Float32Array {
  const make = [MAKES.indexOf(kind) + 1, acrossMm, alongMm, 0].map((x) => x.toExponential(9));
  return runYarnProbe(
    shelf.cloth,
    places,
    `Relief r = makeRelief(s, vec4(${make.join(', ')}), s.around / TURN, vec2(0.0), ${RISE}, pixelMm);
     outValue = vec4(r.slope, r.open, r.slant);`,
  );
}

const FOLDS = 4;
const THICK_MM = 0.25;
/** Slope along and around, light let in, how far the layer's pattern lies. */
const shownFold = (places: readonly YarnPlace[]): Float32Array =>
  runYarnProbe(
    shelf.cloth,
    places,
    `Fold f = foldAt(s, ${FOLDS}.0, ${THICK_MM}, pixelMm); outValue = vec4(f.slope, f.open, f.moved.y);`,
  );

const differs = (got: Float32Array, k: number, wanted: readonly number[]): boolean =>
  wanted.some((x, c) => !(Math.abs(got[k * 4 + c] - x) < 2e-3));

/** Places about where the angle jumps, as told from either side of it. */
function acrossSeam(places: readonly YarnPlace[]): [YarnPlace[], YarnPlace[]] {
  const at = (from: number) =>
    places.map((place, k) => ({ ...place, around: Math.fround(from + 0.5 * (k / places.length - 0.5)) }));
  return [at(Math.PI), at(-Math.PI)];
}

const mean = (got: Float32Array, channel: number): number => {
  let sum = 0;
  for (let k = channel; k < got.length; k += 4) sum += got[k];
  return (sum * 4) / got.length;
};

describe(`relief of what strips and cords are made of, seed ${SEED}`, () => {
  test.each(MADE)(
    '$kind: is its twin, closes round the thread, stays where it is on the mean, and fades out from afar',
    (made) => {
      const near = placesOn(shelf, CORD, 3000, LENGTH_MM, NEAR_MM, SEED);
      const half = placesOn(shelf, CORD, 300, LENGTH_MM, 0.35 * made.acrossMm, SEED);
      const far = placesOn(shelf, CORD, 100, LENGTH_MM, made.alongMm, SEED);
      const [before, after] = acrossSeam(placesOn(shelf, CORD, 200, LENGTH_MM, NEAR_MM, SEED + 3));
      const got = shownRelief([...near, ...half, ...far, ...before, ...after], made);
      const all = [...near, ...half];
      const strays = all.filter((place, k) => {
        const { slope, open, slant } = makeRelief(place, made, place.around / (2 * Math.PI), place.alongMm, RISE);
        return differs(got, k, [...slope, open, slant]);
      });
      // On the line between two threads of the pattern single precision may take the other.
      expect(strays.length / all.length).toBeLessThan(0.004);
      // A surface that rose on the mean would lean the whole thread.
      const of = (from: number, count: number) => got.subarray(from * 4, (from + count) * 4);
      for (const channel of [0, 1]) expect(Math.abs(mean(of(0, 3000), channel))).toBeLessThan(0.035);
      for (let k = 0; k < all.length; k++) {
        expect(got[k * 4 + 2]).toBeGreaterThan(0);
        expect(got[k * 4 + 2]).toBeLessThanOrEqual(1);
      }
      for (let k = 0; k < 100; k++) {
        const at = (all.length + k) * 4;
        expect([...got.subarray(at, at + 3)].map((x) => x || 0)).toEqual([0, 0, 1]);
      }
      const first = all.length + 100;
      const torn = before.filter((_, k) => differs(got, first + k, [...of(first + 200 + k, 1)])).length;
      expect(torn / 200, 'seam').toBeLessThan(0.02);
    },
  );

  test('plain weave shows one thread and the other by halves, twill the lengthwise one two times of three', () => {
    for (const [kind, share] of [
      ['woven', 1 / 2],
      ['twill', 2 / 3],
    ] as const) {
      const made = MADE.find((each) => each.kind === kind)!;
      const got = shownRelief(placesOn(shelf, CORD, 4000, LENGTH_MM, NEAR_MM, SEED + 5), made);
      let lengthwise = 0;
      for (let k = 0; k < 4000; k++) if (Math.abs(got[k * 4 + 3]) < 0.1) lengthwise++;
      expect(Math.abs(lengthwise / 4000 - share), kind).toBeLessThan(0.025);
    }
  });

  test('folds of a soft strip: as their twin, closed round the thread, level on the mean, gone from afar', () => {
    const near = placesOn(shelf, STRIP, 3000, 200, NEAR_MM, SEED);
    const far = placesOn(shelf, STRIP, 100, 200, 3, SEED);
    const [before, after] = acrossSeam(placesOn(shelf, STRIP, 300, 200, NEAR_MM, SEED + 3));
    const got = shownFold([...near, ...far, ...before, ...after]);
    const strays = near.filter((place, k) => {
      const { slope, open, movedMm } = foldAt(place, FOLDS, THICK_MM);
      return differs(got, k, [...slope, open, movedMm]);
    });
    expect(strays.length / near.length).toBeLessThan(0.004);
    const of = (from: number, count: number) => got.subarray(from * 4, (from + count) * 4);
    for (const channel of [0, 1]) expect(Math.abs(mean(of(0, 3000), channel))).toBeLessThan(0.035);
    for (let k = 0; k < 3000; k++) {
      expect(got[k * 4 + 2]).toBeGreaterThan(0.2);
      expect(got[k * 4 + 2]).toBeLessThanOrEqual(1);
    }
    for (let k = 3000; k < 3100; k++) expect([...got.subarray(k * 4, k * 4 + 3)].map((x) => x || 0)).toEqual([0, 0, 1]);
    const torn = before.filter((_, k) => differs(got, 3100 + k, [...of(3400 + k, 1)])).length;
    expect(torn / 300, 'seam').toBeLessThan(0.02);
  });
});
