import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pullWarp } from '#engine/cloth/peirce/crimpInterchange.ts';
import { lensFromHeight, raceTrackFromHeight } from '#engine/cloth/peirce/flattened.ts';
import { curvatureTheoryLeastSpacing, jammedSpacingRatio, SQUARE_JAM_RATIO } from '#engine/cloth/peirce/jamming.ts';
import {
  greatestHeightMm,
  heightFromCrimp,
  pathFromHeight,
  plainWeaveFromHeight,
} from '#engine/cloth/peirce/peirce.ts';

/** Closed forms against each other: only rounding, enlarged near the jam where a square root has infinite slope. */
const ROUNDING = 1e-7;

describe('path of a thread (F. T. Peirce 1937)', () => {
  it('walked arc by arc it arrives at the next crossing and keeps off the thread it crosses (seed 11)', () => {
    const shares = fc.record({
      p: fc.double({ min: 0.2, max: 4, noNaN: true }),
      share: fc.double({ min: 0, max: 1, noNaN: true }),
    });
    fc.assert(
      fc.property(shares, ({ p, share }) => {
        const d = 1;
        const h = share * greatestHeightMm(p, d);
        const { angleRad, lengthMm } = pathFromHeight(p, h, d);
        // Half of the path up to the point midway: an arc of radius D/2 about the crossed thread, then straight on.
        const straight = (lengthMm - d * angleRad) / 2;
        const x = (d / 2) * Math.sin(angleRad) + straight * Math.cos(angleRad);
        const y = (d / 2) * (1 - Math.cos(angleRad)) + straight * Math.sin(angleRad);
        expect(straight).toBeGreaterThanOrEqual(-ROUNDING);
        expect(Math.abs(2 * x - p)).toBeLessThan(ROUNDING);
        expect(Math.abs(2 * y - h)).toBeLessThan(ROUNDING);
        expect(lengthMm).toBeGreaterThanOrEqual(Math.hypot(p, h) - ROUNDING);
      }),
      { seed: 11, numRuns: 500 },
    );
  });

  it('gives crimp back from the height that it gave (seed 12)', () => {
    const cases = fc.record({
      p: fc.double({ min: 0.3, max: 4, noNaN: true }),
      share: fc.double({ min: 0.05, max: 0.999, noNaN: true }),
    });
    fc.assert(
      fc.property(cases, ({ p, share }) => {
        const h = share * greatestHeightMm(p, 1);
        expect(Math.abs(heightFromCrimp(p, pathFromHeight(p, h, 1).crimp, 1) - h)).toBeLessThan(ROUNDING);
      }),
      { seed: 12, numRuns: 200 },
    );
  });

  it('refuses what would be jammed, with the numbers', () => {
    expect(() => pathFromHeight(0.5, 0.5, 1)).toThrow(/0.5 mm.*jammed/);
    expect(() => heightFromCrimp(0.8, 2, 1)).toThrow(/crimp 2.*between 0 and/);
    expect(() => pathFromHeight(-1, 0, 1)).toThrow(RangeError);
  });
});

describe('jamming', () => {
  it('is the same read either way round', () => {
    for (const ratio of [0.3, 0.5, 0.75, SQUARE_JAM_RATIO, 0.99]) {
      expect(jammedSpacingRatio(jammedSpacingRatio(ratio))).toBeCloseTo(ratio, 9);
    }
    expect(jammedSpacingRatio(SQUARE_JAM_RATIO)).toBeCloseTo(SQUARE_JAM_RATIO, 12);
    expect(() => jammedSpacingRatio(0)).toThrow(/above 0/);
  });

  it('leaves both threads of the jammed weave without a straight part', () => {
    const [p1, p2] = [0.8, jammedSpacingRatio(0.8)];
    const h2 = greatestHeightMm(p1, 1);
    const weave = plainWeaveFromHeight({ d1Mm: 0.4, d2Mm: 0.6, p1Mm: p1, p2Mm: p2 }, 1 - h2);
    expect(weave.warp.lengthMm).toBeCloseTo(weave.warp.angleRad, 6);
    expect(weave.weft.lengthMm).toBeCloseTo(weave.weft.angleRad, 6);
  });
});

describe('least spacing of picks', () => {
  const round = { endWidthMm: 0.4, endHeightMm: 0.4, pickWidthMm: 0.4, pickHeightMm: 0.4 };

  it('is Peirce’s jam in a close sett: sqrt(3)/2 D in a square one', () => {
    const pitch = SQUARE_JAM_RATIO * 0.8;
    expect(curvatureTheoryLeastSpacing({ ...round, endPitchMm: pitch })).toBeCloseTo(pitch, 12);
  });

  it('is the picks’ own width in an open sett, where the warp lies straight', () => {
    for (const endPitchMm of [0.8, 1, 3]) {
      expect(curvatureTheoryLeastSpacing({ ...round, endPitchMm })).toBe(0.4);
    }
  });

  it('shrinks as the sett opens, and grows by the flat part of a flattened pick', () => {
    let before = Number.POSITIVE_INFINITY;
    for (let endPitchMm = 0.1; endPitchMm < 1.2; endPitchMm += 0.05) {
      const least = curvatureTheoryLeastSpacing({ ...round, endPitchMm });
      expect(least).toBeLessThanOrEqual(before);
      before = least;
    }
    const flat = { ...round, endPitchMm: 0.6, pickWidthMm: 0.7 };
    const same = curvatureTheoryLeastSpacing({ ...round, endPitchMm: 0.6 });
    expect(curvatureTheoryLeastSpacing(flat)).toBeCloseTo(same + 0.3, 12);
  });

  it('holds for ends closer than their own width', () => {
    const wide = { ...round, endWidthMm: 1, endPitchMm: 0.5 };
    expect(curvatureTheoryLeastSpacing(wide)).toBeCloseTo(0.8, 12);
  });
});

describe('crimp interchange', () => {
  const input = { d1Mm: 0.25, d2Mm: 0.18, p1Mm: 0.55, p2Mm: 0.4 };
  const weave = plainWeaveFromHeight(input, 0.17);

  it('changes nothing when not pulled', () => {
    const still = pullWarp(weave, input, 0);
    expect(still.p1Mm).toBeCloseTo(input.p1Mm, 9);
    expect(still.p2Mm).toBeCloseTo(input.p2Mm, 9);
    expect(still.warpExtension).toBeCloseTo(0, 9);
  });

  it('keeps both thread lengths at every pull', () => {
    for (const share of [0.2, 0.5, 0.8, 0.95]) {
      const pulled = pullWarp(weave, input, share);
      const again = plainWeaveFromHeight({ ...input, p1Mm: pulled.p1Mm, p2Mm: pulled.p2Mm }, pulled.h1Mm);
      expect(again.warp.lengthMm).toBeCloseTo(weave.warp.lengthMm, 6);
      expect(again.weft.lengthMm).toBeCloseTo(weave.weft.lengthMm, 6);
      expect(pulled.warpExtension).toBeGreaterThan(0);
      expect(pulled.widthContraction).toBeGreaterThan(0);
    }
  });

  it('straightens the warp where the weft is long enough (l2 over π D/2)', () => {
    const open = { d1Mm: 0.2, d2Mm: 0.2, p1Mm: 0.7, p2Mm: 0.7 };
    const pulled = pullWarp(plainWeaveFromHeight(open, 0.2), open);
    expect(pulled.warpStraight).toBe(true);
    expect(pulled.p2Mm).toBeCloseTo(plainWeaveFromHeight(open, 0.2).warp.lengthMm, 9);
  });
});

describe('flattened sections', () => {
  const round = { a1Mm: 0.3, b1Mm: 0.3, a2Mm: 0.2, b2Mm: 0.2, p1Mm: 0.8, p2Mm: 0.7 };

  it('race-track and lens are both Peirce’s weave while round', () => {
    const peirce = plainWeaveFromHeight({ d1Mm: 0.3, d2Mm: 0.2, p1Mm: 0.8, p2Mm: 0.7 }, 0.2);
    for (const weave of [raceTrackFromHeight(round, 0.2), lensFromHeight(round, 0.2)]) {
      expect(weave.warp.lengthMm).toBeCloseTo(peirce.warp.lengthMm, 12);
      expect(weave.weft.lengthMm).toBeCloseTo(peirce.weft.lengthMm, 12);
      expect(weave.thicknessMm).toBeCloseTo(peirce.thicknessMm, 12);
    }
  });

  it('a lens refuses a path that turns over its edge', () => {
    const steep = { a1Mm: 0.4, b1Mm: 0.2, a2Mm: 0.2, b2Mm: 0.2, p1Mm: 0.635, p2Mm: 0.6 };
    expect(() => lensFromHeight(steep, 0)).toThrow(/weft lies on the edge of the lens/);
  });
});
