import { beforeAll, describe, expect, test } from 'vitest';
import { hashUniform } from '#engine/units/hash.ts';
import { fibresAt } from '#tests/helpers/yarnFibresTwin.ts';
import { runYarnProbe, type YarnPlace } from '#tests/helpers/yarnProbe.ts';
import { placesOn, type YarnsOfShelf, yarnsOfShelf } from '#tests/helpers/yarnScenes.ts';

const SEED = 63_419;
/** Spun: two plies, four, a single with slubs, soft wool, thin linen, loose fibre; smooth filament; wound film, wire. */
const YARNS = [
  'cotton-8-2',
  'cotton-8-4',
  'cotton-slub',
  'wool-heather-2ply',
  'linen-20-2',
  'loose-fibre-inlay',
  'rayon-filament-300',
  'metal-film-1-69',
  'wire-copper-0.2',
] as const;
const NEAR_MM = 0.002;
const FAR_MM = 5;
/** As the yarn's surface asks for: bundles, finer ones, single fibres (plies.glsl). */
const LANES = [28, 70, 175] as const;

let shelf: YarnsOfShelf;
beforeAll(async () => {
  shelf = await yarnsOfShelf(YARNS);
});

interface FibrePlace {
  /** In fibres' widths, and in their lengths. */
  readonly across: number;
  readonly along: number;
  readonly seed: number;
}

/** Slope, height and lean; places are given by their texel's first three numbers, past what the yarn's probe takes them for. */
function shownFibres(places: readonly FibrePlace[], lanes: number): Float32Array {
  const given = places.map(
    ({ across, along, seed }): YarnPlace => ({
      around: across,
      alongMm: along,
      thread: seed,
      material: 0,
      halfWidthMm: 1,
      halfHeightMm: 1,
      radiusMm: 1,
      swell: 1,
      pixelMm: 1,
    }),
  );
  const main = `Lying f = fibresAt(vec2(s.around, s.along), ${lanes}.0, s.thread); outValue = vec4(f.slope, f.height, f.lean, 0.0);`;
  return runYarnProbe(shelf.cloth, given, main);
}

/** Strewn over three turns either way, and over so many lengths on either side of where the thread begins. */
const strewn = (count: number, lanes: number, lengths: number, seed: number): FibrePlace[] =>
  Array.from({ length: count }, (_, k) => ({
    across: Math.fround(6 * lanes * (hashUniform(seed, k) - 0.5)),
    along: Math.fround(2 * lengths * (hashUniform(seed + 1, k) - 0.5)),
    seed: k % 7,
  }));

const strays = (got: Float32Array, places: readonly FibrePlace[], lanes: number): number =>
  places.filter(({ across, along, seed }, k) => {
    const { slope, height, lean } = fibresAt(across, along, lanes, seed);
    return [slope, height, lean].some((value, c) => !(Math.abs(got[k * 4 + c] - value) < 2e-3));
  }).length / places.length;

const meanOf = (got: Float32Array, channel: number): number => {
  let sum = 0;
  for (let k = channel; k < got.length; k += 4) sum += got[k];
  return (sum * 4) / got.length;
};

describe(`fibres in a spun yarn's surface, seed ${SEED}`, () => {
  test.each(LANES)('%i round the thread: are their twin, lie level, and close round it', (lanes) => {
    const places = strewn(4000, lanes, 20, SEED + lanes);
    const got = shownFibres(places, lanes);
    // On the line between two fibres, and where one comes up over another, single precision may take the other.
    expect(strays(got, places, lanes)).toBeLessThan(0.004);
    expect(Math.abs(meanOf(got, 0))).toBeLessThan(0.03);
    // A whole turn on it is the same fibre.
    const turned = shownFibres(
      places.map((place) => ({ ...place, across: Math.fround(place.across + lanes) })),
      lanes,
    );
    const torn = places.filter((_, k) => !(Math.abs(got[k * 4 + 1] - turned[k * 4 + 1]) < 2e-3)).length;
    expect(torn / places.length).toBeLessThan(0.004);
  });

  test.each(LANES)('%i round the thread: each lane is one of them, also below 0 and where turns begin', (lanes) => {
    // In the middle of lanes, where nothing is left to rounding but which lane it is.
    const places = Array.from({ length: 8 * lanes }, (_, k) => ({
      across: k - 4 * lanes + 0.5,
      along: 0,
      seed: k % 3,
    }));
    expect(strays(shownFibres(places, lanes), places, lanes)).toBe(0);
  });

  test('leans either way alike, by one standard deviation', () => {
    const got = shownFibres(strewn(8000, 175, 60, SEED + 9), 175);
    // Four standard errors: of the mean 1/√8000, of the variance √(4/5/8000) for even spread.
    expect(Math.abs(meanOf(got, 2))).toBeLessThan(0.045);
    expect(
      Math.abs(
        meanOf(
          got.map((value) => value * value),
          2,
        ) - 1,
      ),
    ).toBeLessThan(0.04);
  });

  test('what shows lies as high on the mean as the shade takes it to lie', () => {
    const got = shownFibres(strewn(8000, 175, 60, SEED + 9), 175);
    // The higher of two crowned fibres, each as high as chance has it: 0.466 over all places, spread 0.20; four of these
    // over √8000.
    expect(Math.abs(meanOf(got, 1) - 0.466)).toBeLessThan(0.009);
  });
});

describe(`the surface that yarns show, seed ${SEED}`, () => {
  const shown = (places: readonly YarnPlace[], value: string) =>
    runYarnProbe(shelf.cloth, places, `YarnSurface r = yarnSurface(s, pixelMm); outValue = vec4(${value});`);

  test.each(YARNS.map((id, yarn) => ({ id, yarn })))(
    '$id: faces outwards, is level on the mean, smooth from afar',
    ({ yarn }) => {
      const near = placesOn(shelf, yarn, 2000, 120, NEAR_MM, SEED);
      const got = shown(
        near,
        'dot(r.normal, s.normal), dot(r.normal, s.axis), dot(r.normal, cross(s.axis, s.normal)), r.open',
      );
      for (let k = 0; k < near.length; k++) {
        const [up, along, around, open] = got.subarray(k * 4, k * 4 + 4);
        expect(Math.abs(Math.hypot(up, along, around) - 1)).toBeLessThan(1e-3);
        expect(up).toBeGreaterThan(0);
        expect(open).toBeGreaterThan(0);
      }
      for (const channel of [1, 2]) expect(Math.abs(meanOf(got, channel))).toBeLessThan(0.04);
      const directions = shown(near.slice(0, 300), 'dot(r.tangent, r.tangent), dot(r.tangent, r.normal), 0.0, 0.0');
      for (let k = 0; k < 300; k++) {
        expect(Math.abs(directions[k * 4] - 1)).toBeLessThan(1e-3);
        expect(Math.abs(directions[k * 4 + 1])).toBeLessThan(1e-3);
      }
      const far = shown(placesOn(shelf, yarn, 100, 120, FAR_MM, SEED), 'r.normal - s.normal, r.open');
      for (let k = 0; k < 100; k++) {
        expect(Math.hypot(far[k * 4], far[k * 4 + 1], far[k * 4 + 2])).toBeLessThan(1e-6);
        expect(far[k * 4 + 3]).toBe(1);
      }
    },
  );

  test.each(YARNS.map((id, yarn) => ({ id, yarn })))(
    '$id: its fibres lean, and leave each its own lobe, so that together they gleam as from afar',
    ({ yarn }) => {
      const value =
        'r.lobe, r.optics.surfaceWidth, dot(cross(r.tangent, fibreTangent(s.axis, r.normal, r.optics.fibreAngle)), r.normal)';
      const moments = (pixelMm: number) => {
        const got = shown(placesOn(shelf, yarn, 4000, 400, pixelMm, SEED + 5), `${value}, 0.0`);
        let [lobe, own, leans] = [0, 0, 0];
        for (let k = 0; k < got.length; k += 4) {
          lobe += got[k] ** 2;
          own += got[k + 1] ** 2;
          leans += Math.asin(got[k + 2]) ** 2;
        }
        return [own / lobe, leans / lobe] as const;
      };
      const [ownFar, leansFar] = moments(FAR_MM);
      expect(ownFar).toBeCloseTo(1, 5);
      expect(leansFar).toBeLessThan(1e-4);
      const [own, leans] = moments(NEAR_MM);
      // Variances of independent tilts add up (a tilt by δ moves θh by δ). The higher of two fibres shows, which lean alike.
      expect(Math.abs(own + leans - 1)).toBeLessThan(0.05);
    },
  );

  test.each(YARNS.map((id, yarn) => ({ id, yarn })))('$id: closes round the thread', ({ yarn }) => {
    const places = placesOn(shelf, yarn, 400, 60, NEAR_MM, SEED + 3);
    const at = (around: number) =>
      shown(
        places.map((place) => ({ ...place, around: Math.fround(around) })),
        'r.normal, r.open',
      );
    const [before, after] = [at(Math.PI - 1e-5), at(1e-5 - Math.PI)];
    const torn = places.filter((_, k) =>
      [0, 1, 2, 3].some((c) => Math.abs(before[k * 4 + c] - after[k * 4 + c]) > 0.01),
    );
    expect(torn.length / places.length).toBeLessThan(0.02);
  });
});
