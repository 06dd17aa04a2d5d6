import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linearFromHex } from '#engine/colour/colour.ts';
import { type ColourRepeat, colourAlong, colourRuns, meanOfRepeat, poolingDrift } from '#engine/yarn/colourRepeat.ts';

const water = '#3d6b7a';
const sail = '#e6e0d0';
const rust = '#a4553a';

const repeat: ColourRepeat = {
  lengthMm: 1000,
  startMm: 0,
  stops: [
    { atMm: 100, colour: water },
    { atMm: 400, colour: sail },
    { atMm: 500, colour: rust },
  ],
};

const anyRepeat = fc
  .record({
    lengthMm: fc.integer({ min: 50, max: 3000 }),
    startMm: fc.integer({ min: 0, max: 3000 }),
    shares: fc.uniqueArray(fc.integer({ min: 0, max: 49 }), { minLength: 2, maxLength: 6 }),
  })
  .map(({ lengthMm, startMm, shares }) => ({
    lengthMm,
    startMm,
    stops: shares
      .sort((a, b) => a - b)
      .map((share, k) => ({ atMm: (share * lengthMm) / 50, colour: [water, sail, rust][k % 3] })),
  }));

describe('colours that come again along a yarn', () => {
  it('begin at their stops; the last lasts over the join', () => {
    const at = [0, 99, 100, 399, 400, 499, 500, 999, 1050, 1100].map((mm) => colourAlong(repeat, mm));
    expect(at).toEqual([rust, rust, water, water, sail, sail, rust, rust, rust, water]);
    expect(colourAlong({ ...repeat, startMm: 450 }, 0)).toBe(sail);
    expect(colourAlong(repeat, -150)).toBe(rust);
  });

  it('runs over a length agree with the colour at each place, meet, and fill it (seed 811)', () => {
    fc.assert(
      fc.property(
        anyRepeat,
        fc.double({ min: 0, max: 5000, noNaN: true }),
        fc.double({ min: 1, max: 4000, noNaN: true }),
        (each, fromMm, lengthMm) => {
          const runs = colourRuns(each, fromMm, lengthMm);
          expect(runs[0].from).toBe(0);
          expect(runs.at(-1)!.to).toBeCloseTo(1, 12);
          runs.forEach((run, k) => {
            if (k > 0) {
              expect(run.from).toBe(runs[k - 1].to);
              expect(run.colour).not.toBe(runs[k - 1].colour);
            }
            // In the middle, clear of the rounding at its ends; slivers of rounding have no middle.
            if ((run.to - run.from) * lengthMm > 1e-6)
              expect(run.colour).toBe(colourAlong(each, fromMm + ((run.from + run.to) / 2) * lengthMm));
          });
        },
      ),
      { seed: 811, numRuns: 400 },
    );
  });

  it('mean light weighs each colour by its length', () => {
    const mean = meanOfRepeat(repeat);
    const lights = [linearFromHex(water), linearFromHex(sail), linearFromHex(rust)];
    for (let k = 0; k < 3; k++)
      expect(mean[k]).toBeCloseTo(0.3 * lights[0][k] + 0.1 * lights[1][k] + 0.6 * lights[2][k], 12);
  });

  // Weft goes to and fro: after two picks the shuttle is where it was, so the colours stand over those of two picks
  // before exactly where two picks take a whole number of repeats.
  it('pool where two picks take a whole number of repeats, and nowhere else (seed 812)', () => {
    fc.assert(
      fc.property(
        anyRepeat,
        fc.integer({ min: 1, max: 5 }),
        fc.double({ min: 0, max: 2000, noNaN: true }),
        (each, whole, along) => {
          const pickMm = (whole * each.lengthMm) / 2;
          expect(poolingDrift(each, pickMm)).toBeCloseTo(0, 12);
          // Clear of a stop's own place, where rounding decides.
          const clear = each.stops.every(
            ({ atMm }) => Math.abs(((each.startMm + along) % each.lengthMm) - atMm) > 1e-6,
          );
          if (clear) expect(colourAlong(each, along + 2 * pickMm)).toBe(colourAlong(each, along));
        },
      ),
      { seed: 812, numRuns: 300 },
    );
    expect(poolingDrift(repeat, 550)).toBeCloseTo(0.1, 12);
    expect(poolingDrift(repeat, 450)).toBeCloseTo(-0.1, 12);
    expect(colourAlong(repeat, 350 + 2 * 550)).not.toBe(colourAlong(repeat, 350));
  });
});
