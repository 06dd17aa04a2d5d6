import { afterAll, describe, expect, test } from 'vitest';
import type { LinearRgb } from '#engine/colour/colour.ts';
import type { YarnHair } from '#engine/yarn/hair.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { pack } from '#tests/helpers/clothProbe.ts';
import { LinearProbe } from '#tests/helpers/farScenes.ts';
import { fuzz, withHair } from '#tests/helpers/hairScenes.ts';

/** Threads a mm apart; the far picture stands alone at this many pixels a thread (farPicture.ts). */
const PIXELS_PER_THREAD = 0.6;
/** Of the cloth, what is looked at, and all of it, threads. */
const SEEN = 60;
const THREADS = 90;
const SIZE = SEEN * PIXELS_PER_THREAD;
/** Picks of a fine stripe; threads of a picture's column and picks of its band. */
const STRIPE = 2;
const HALF = 10;
/** Kinds of crossings are looked at in some of their places only: as near as hair's light has to be (hairPicture.browser.test.ts). */
const NEAR_FAR = 0.05;
/** Below this, of a fall from one cloth to the next, is the far picture's own noise. */
const LEAST_FALL = 0.003;

const LIGHT: LinearRgb = [0.7, 0.7, 0.7];
const DARK: LinearRgb = [0.06, 0.06, 0.06];
/** Hair of a dark yarn deepens its colour; what is all but black has no deeper one. */
const BLACK: LinearRgb = [0.02, 0.02, 0.02];

describe('fuzz and what reads from afar', () => {
  const probe = new LinearProbe();
  afterAll(() => probe.close());

  /** Contrast of what repeats with two halves across and up the far picture, and the near one's up. */
  const contrasts = (cloth: ReturnType<typeof stripes>, hair: YarnHair | undefined, half: number, alsoNear = false) => {
    probe.setCloth(pack(hair ? withHair(cloth, hair, 'weft') : cloth));
    const pose = { centreMm: [(THREADS - 1) / 2, (THREADS - 1) / 2] as const, pixelsPerMm: PIXELS_PER_THREAD };
    const far = probe.picture(pose, NORTH_LIGHT, SIZE, 1, { fine: true });
    expect(probe.errors).toEqual([]);
    const near = alsoNear ? probe.picture(pose, NORTH_LIGHT, SIZE, 8, { walkAll: true }) : undefined;
    const pairs = SEEN / (2 * half);
    const found = {
      across: contrastOf(far, 0, pairs),
      up: contrastOf(far, 1, pairs),
      near: near ? contrastOf(near, 1, pairs) : Number.NaN,
    };
    if (import.meta.env.VITE_ALL_REFERENCES) console.log(hair?.meanLengthMm ?? 0, hair?.perMm ?? 0, found);
    return found;
  };

  test('stripes of the weft lose contrast with the length of its hair, and with how dense it is', () => {
    const lengths = [0, 1, 3, 6];
    const byLength = lengths.map((mm) =>
      contrasts(stripes(STRIPE, BLACK), mm > 0 ? hairOf(mm, 12) : undefined, STRIPE, mm === 0 || mm === 6),
    );
    const densities = [3, 12, 40];
    const byDensity = densities.map((perMm) => contrasts(stripes(STRIPE, BLACK), hairOf(3, perMm), STRIPE));
    // Of the bare cloth's contrast, so that how softly the far picture is looked up does not count.
    const [bare, longest] = [byLength[0], byLength[lengths.length - 1]];
    expect(Math.abs(longest.up / bare.up / (longest.near / bare.near) - 1)).toBeLessThan(NEAR_FAR);
    expectFalling(byLength.map(({ up }) => up));
    expectFalling([bare.up, ...byDensity.map(({ up }) => up)]);
  });

  // Light that goes down between hairs meets its dye more often: the darker, the more is lost, so that hair which stays in its
  // stripe parts light from dark a little further. Near by, walked hair by hair, as afar.
  test('hair much shorter than a stripe deepens the dark of it, near by as afar', () => {
    const [bare, short] = [undefined, hairOf(1, 12)].map((hair) => contrasts(stripes(3, DARK), hair, 3, true));
    expect(short.near).toBeGreaterThan(bare.near);
    expect(Math.abs(short.up / bare.up / (short.near / bare.near) - 1)).toBeLessThan(0.02);
  });

  test('a picture that the weave makes reads with smooth weft, and is bands of weft colour with fuzzy', () => {
    const smooth = contrasts(picture(), undefined, HALF);
    const some = contrasts(picture(), hairOf(4, 12), HALF);
    const much = contrasts(picture(), hairOf(6, 40), HALF);
    // What the weave tells across the cloth is as plain as the bands at first, and drowns in them then.
    expectFalling([smooth, some, much].map(({ across, up }) => across / up));
    expect(smooth.across / smooth.up).toBeGreaterThan(1);
    // Of bands twice as plain nobody reads the columns; by how much is no rule, so a tenth either way is let pass.
    expect(much.across / much.up).toBeLessThan(0.55);
  });
});

/** Brushed hair of a mean length, as mohair's: 0.03 mm thick with the fibres that cling to it. */
function hairOf(lengthMm: number, perMm: number): YarnHair {
  return fuzz({
    perMm,
    meanLengthMm: lengthMm,
    longestMm: 2.5 * lengthMm,
    diameterMm: 0.03,
    leanMeanRad: 1.05,
    heightMm: Math.min(2.4, lengthMm),
  });
}

function expectFalling(values: readonly number[]): void {
  for (let k = 1; k < values.length; k++) expect(values[k - 1] - values[k]).toBeGreaterThan(LEAST_FALL);
}

/** Plain, with fine stripes of so many light and dark wefts over a warp as thin as hair. */
function stripes(picks: number, dark: LinearRgb) {
  return clothFixture({
    ends: THREADS,
    rows: THREADS,
    warp: [{ widthMm: 0.04, heightMm: 0.04, colour: [0.3, 0.3, 0.3] }],
    weft: [
      { widthMm: 1, heightMm: 0.6, colour: LIGHT },
      { widthMm: 1, heightMm: 0.6, colour: dark },
    ],
    rowYarn: (row) => (row % (2 * picks) < picks ? 0 : 1),
    periodEnds: 2,
    periodRows: 2 * picks,
  });
}

/** Columns of three in four wefts up and one in four, on a dark warp, with bands of two lights of weft. */
function picture() {
  const yarn = { widthMm: 0.8, heightMm: 0.6 };
  return clothFixture({
    ends: THREADS,
    rows: THREADS,
    warp: [{ ...yarn, colour: DARK }],
    weft: [
      { ...yarn, colour: LIGHT },
      { ...yarn, colour: [0.35, 0.35, 0.35] },
    ],
    warpUp: (row, end) => ((end + 3 * row) % 4 === 0) !== end % (2 * HALF) < HALF,
    rowYarn: (row) => (row % (2 * HALF) < HALF ? 0 : 1),
    periodEnds: 2 * HALF,
    periodRows: 2 * HALF,
  });
}

/** Amplitude of the wave of so many pairs across (0) or up (1), over the mean: Michelson contrast of that wave. */
function contrastOf(pictured: Float32Array, axis: 0 | 1, pairs: number): number {
  let [sum, cosine, sine] = [0, 0, 0];
  for (let y = 0; y < SIZE; y++) {
    for (let x = 0; x < SIZE; x++) {
      const value = pictured[4 * (y * SIZE + x) + 1];
      const phase = (2 * Math.PI * pairs * (axis === 0 ? x : y)) / SIZE;
      sum += value;
      cosine += value * Math.cos(phase);
      sine += value * Math.sin(phase);
    }
  }
  return (2 * Math.hypot(cosine, sine)) / sum;
}
