import { describe, expect, test } from 'vitest';
import type { BendByHand } from '#engine/cloth/after/afterTypes.ts';
import { bendByHand } from '#engine/cloth/after/bendByHand.ts';
import { bentLine } from '#engine/cloth/after/bentLine.ts';
import { liftedEnd, liftedLengthMm, liftedShare } from '#engine/cloth/after/liftedCloth.ts';
import { bentCurvature, momentOverYield } from '#engine/yarn/handBend.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import stemCard from '#presets/yarns/chenille-stem-6.json';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import copperCard from '#presets/yarns/wire-copper-0.2.json';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';

const bodyOf = (card: object) => yarnBody(yarnFactsOf(card as YarnRecord));
const stem = bodyOf(stemCard);

describe('a wire bent by hand', () => {
  test('is as thick as its stiffness says: 0.2 mm copper, two wires of 0.4 mm in a stem', () => {
    // B = E π d⁴/64 for the copper; the stem's card names two wires of about 0.4 mm (common practice).
    expect(bodyOf(copperCard).bends?.wireMm).toBeCloseTo(0.2, 2);
    expect(stem.bends?.wireMm).toBeGreaterThan(0.3);
    expect(stem.bends?.wireMm).toBeLessThan(0.5);
    expect(bodyOf(cottonCard).bends).toBeUndefined();
  });

  test('yields up to 16/3π of the moment at which it began to', () => {
    // Shape factor of a round section, 1.70 (S. P. Timoshenko, Strength of Materials II).
    expect(momentOverYield(0.5)).toBe(0.5);
    expect(momentOverYield(1 + 1e-9)).toBeCloseTo(1, 6);
    expect(momentOverYield(1000)).toBeCloseTo(16 / (3 * Math.PI), 5);
    // Against the integral of σ(y) y over the circle, by strips.
    const k = 2.5;
    const n = 200_000;
    let moment = 0;
    for (let i = 0; i < n; i++) {
      const y = (i + 0.5) / n;
      moment += (4 * Math.min(1, k * y) * y * Math.sqrt(1 - y * y)) / n;
    }
    expect(momentOverYield(k)).toBeCloseTo(moment / (Math.PI / 4), 6);
  });

  test('springs back: little from a tight bend, wholly from one within its yield', () => {
    const core = stem.bends!;
    const bent = bentCurvature(1 / 8, core);
    const k = bent / core.yieldCurvaturePerMm;
    expect(bent - momentOverYield(k) * core.yieldCurvaturePerMm).toBeCloseTo(1 / 8, 9);
    expect(bent * 8).toBeGreaterThan(1.05);
    expect(bent * 8).toBeLessThan(1.2);
    // To keep next to nothing it must still be bent to its yield.
    expect(bentCurvature(1e-6, core)).toBeGreaterThan(core.yieldCurvaturePerMm);
  });
});

describe('the line of a bent thread', () => {
  const xMm = Float64Array.from({ length: 101 }, (_, k) => k);

  test('is a triangle with its corner rounded, as high as the angle asks', () => {
    const { zMm, steepestRad } = bentLine([{ xMm: 50, turnRad: Math.PI / 3, radiusMm: 5 }], xMm);
    expect(steepestRad).toBeCloseTo(Math.PI / 6, 6);
    // Straight parts at 30°, and the arc's crest lies R/cos 15° … below the corner: 50 tan 30° − R (1/cos 30° − 1).
    expect(zMm[50]).toBeCloseTo(50 * Math.tan(Math.PI / 6) - 5 * (1 / Math.cos(Math.PI / 6) - 1), 4);
    expect(zMm[0]).toBeCloseTo(0, 6);
    expect(zMm[100]).toBeCloseTo(0, 6);
    expect(zMm[20] - zMm[10]).toBeCloseTo(10 * Math.tan(Math.PI / 6), 6);
  });

  test('has the radius asked for where it is bent', () => {
    const fine = Float64Array.from({ length: 2001 }, (_, k) => k / 20);
    const { zMm } = bentLine([{ xMm: 30, turnRad: 1, radiusMm: 20 }], fine);
    const at = 600;
    const slope = (zMm[at + 1] - zMm[at - 1]) / 0.1;
    const second = (zMm[at + 1] - 2 * zMm[at] + zMm[at - 1]) / 0.0025;
    expect(Math.abs(second) / (1 + slope * slope) ** 1.5).toBeCloseTo(1 / 20, 3);
  });

  test('takes several bends, up and down', () => {
    const bends = [25, 50, 75].map((at, k) => ({ xMm: at, turnRad: k === 1 ? -1 : 0.5, radiusMm: 3 }));
    const { zMm } = bentLine(bends, xMm);
    // Level outside, since the turns make up nothing; a valley of two sides at 0.5 rad between.
    expect(zMm[10]).toBeCloseTo(0, 6);
    expect(zMm[90]).toBeCloseTo(0, 6);
    expect(zMm[50]).toBeCloseTo(-25 * Math.tan(0.5) + 3 * (1 / Math.cos(0.5) - 1), 0);
    expect(zMm[75]).toBeCloseTo(zMm[25], 4);
  });
});

describe('cloth lifted off a table along a line', () => {
  const cloth = { stiffnessNmm: 0.016, weightNPerMm2: 2e-6 };

  test('is the ruck of a rug: B z⁗ = −w, level at both ends, without moment where it leaves the table', () => {
    const height = 6;
    const length = liftedLengthMm(height, cloth);
    const step = 0.01;
    const z = (u: number) => height * liftedShare(u);
    const fourth = (u: number) =>
      (z(u - 2 * step) - 4 * z(u - step) + 6 * z(u) - 4 * z(u + step) + z(u + 2 * step)) / (step * length) ** 4;
    for (const u of [0.2, 0.5, 0.8]) expect(fourth(u) / (-cloth.weightNPerMm2 / cloth.stiffnessNmm)).toBeCloseTo(1, 3);
    expect((z(1e-4) - z(0)) / 1e-4).toBeCloseTo(0, 1);
    expect((z(1) - 2 * z(1 - 1e-3) + z(1 - 2e-3)) / 1e-6).toBeCloseTo(0, 0);
  });

  test('hangs between two lines near one another and lies on the table between two far apart', () => {
    const yMm = Float64Array.from({ length: 401 }, (_, k) => k);
    const out = new Float64Array(401);
    const near = [180, 220].map((y) => ({ yMm: y, zMm: 6 }));
    liftedEnd(out, yMm, near, cloth);
    // A clamped beam's sag, wL⁴/384B.
    expect(out[200]).toBeCloseTo(6 - (2e-6 * 40 ** 4) / (384 * 0.016), 6);
    liftedEnd(
      out,
      yMm,
      [50, 350].map((y) => ({ yMm: y, zMm: -6 })),
      cloth,
    );
    expect(out[200]).toBeCloseTo(0, 9);
    expect(out[50]).toBe(-6);
  });
});

describe('a stem bent in the cloth', () => {
  const woven = () => {
    const fixture = clothFixture({
      ends: 40,
      rows: 24,
      warp: [{ widthMm: 0.5, heightMm: 0.5 }],
      weft: [{ widthMm: 0.5, heightMm: 0.5 }],
      warpUp: (row, end) => ((row + end) & 1) === 0,
    });
    const { problem } = fixture;
    const yarns = [...problem.yarns, { ...stem, contactWidthMm: 0.5, contactHeightMm: 0.5 }];
    const rowYarn = problem.rowYarn.slice();
    rowYarn[12] = yarns.length - 1;
    return { problem: { ...problem, yarns, rowYarn }, geometry: fixture.geometry };
  };
  const bend: BendByHand = { kind: 'bend', pick: 13, end: 20.5, angleDegrees: 60, radiusMm: 5, side: 'face' };

  test('stands out where it was bent, carries the cloth, and the cloth keeps its thickness on the slope', () => {
    const { problem, geometry } = woven();
    const { geometry: bent, reports } = bendByHand(problem, geometry, [bend], false, 200);
    const crest = 19.5 * Math.tan(Math.PI / 6) - 5 * (1 / Math.cos(Math.PI / 6) - 1);
    expect(reports[0]).toMatchObject({ wefts: 1 });
    expect(reports[0].heightMm).toBeCloseTo(crest, 1);
    expect(reports[0].bendToDegrees).toBeGreaterThan(62);
    // Two sides of 19.5 mm at 30°, 19.5 (1/cos 30° − 1) longer each, less what the arc cuts off.
    expect(reports[0].drawnInMm).toBeGreaterThan(5);
    expect(reports[0].drawnInMm).toBeLessThan(6.1);
    const at = (row: number, end: number) => row * 40 + end;
    const was = (row: number, end: number) =>
      (row % geometry.periodRows) * geometry.periodEnds + (end % geometry.periodEnds);
    expect(bent.weft.heightMm[at(12, 19)]).toBeCloseTo(crest, 0);
    // A thread's length from the edge the weft lies at tan 30° of its way.
    expect(bent.weft.heightMm[at(12, 6)] - bent.weft.heightMm[at(12, 4)]).toBeCloseTo(2 * Math.tan(Math.PI / 6), 1);
    expect(bent.warp.heightMm[at(10, 19)]).toBeGreaterThan(0.8 * crest);
    for (const [row, end] of [
      [12, 8],
      [9, 12],
      [15, 30],
    ]) {
      const apart = bent.warp.heightMm[at(row, end)] - bent.weft.heightMm[at(row, end)];
      const flat = geometry.warp.heightMm[was(row, end)] - geometry.weft.heightMm[was(row, end)];
      const slope = Math.hypot(
        (bent.weft.heightMm[at(row, end + 2)] - bent.weft.heightMm[at(row, end - 2)]) / 4,
        (bent.warp.heightMm[at(row + 2, end)] - bent.warp.heightMm[at(row - 2, end)]) / 4,
      );
      expect(Math.abs(apart / flat) * Math.cos(Math.atan(slope))).toBeCloseTo(1, 1);
    }
    // What is given stays as it is.
    expect(geometry.weft.heightMm[was(12, 19)]).toBeLessThan(1);
  });

  test('is refused on the loom, off the stem, without wire, too tight and too steep, and says why', () => {
    const { problem, geometry } = woven();
    const whyNot = (asked: Partial<BendByHand>, onLoom = false, twice = false) => {
      const bends = twice ? [bend, { ...bend, ...asked }] : [{ ...bend, ...asked }];
      const { reports, geometry: after } = bendByHand(problem, geometry, bends, onLoom, 200);
      if (!twice) expect(after).toBe(geometry);
      return reports.at(-1)?.nothing;
    };
    expect(whyNot({}, true)).toBe('onLoom');
    expect(whyNot({ end: 40 })).toBe('offTheCloth');
    expect(whyNot({ pick: 40 })).toBe('offTheCloth');
    expect(whyNot({ pick: 12 })).toBe('noWire');
    expect(whyNot({ radiusMm: 0.5 })).toBe('tooTight');
    expect(whyNot({ angleDegrees: 90, end: 21 }, false, true)).toBe('tooSteep');
  });
});
