import { describe, expect, it } from 'vitest';
import { readerToScreenMm, trueMmPerPx } from '#app/model/distance.ts';
import { cssPxPerMm } from '#app/model/preferences.ts';
import { blendDistanceMm, contrastLeft, eyeSpreadPx } from '#render/eyeSpread.ts';
import { caseById, expectWithin } from './cases.ts';

/** Where a pitch blends it is 1 arcmin wide: cycles a degree of the same pitch at a distance. */
const cyclesPerDegree = (pitchMm: number, distanceMm: number) => (60 * distanceMm) / blendDistanceMm(pitchMm);

/** The pitch that blends at a distance: 1 arcmin there. */
const arcminMm = (distanceMm: number) => distanceMm / blendDistanceMm(1);

describe('seeing at a distance', () => {
  it('SE-01, SE-03: 1 arcmin, and a letter of 5 at 6 m (ISO 8596)', () => {
    const arcmin = caseById<{ distance_m: number[] }, { one_arcmin_mm: number[] }>('appearance', 'SE-01');
    arcmin.inputs.distance_m.forEach((distance, k) => {
      expectWithin(arcminMm(1000 * distance), arcmin.expected.one_arcmin_mm[k], arcmin.tolerance, `${distance} m`);
    });
    const letter = caseById<{ distance_m: number }, { height_mm: number }>('appearance', 'SE-03');
    const height = 5 * arcminMm(1000 * letter.inputs.distance_m);
    expectWithin(height, letter.expected.height_mm, letter.tolerance, 'letter');
  });

  it('SE-04, SE-06: cycles a degree of a pitch, and back', () => {
    const there = caseById<{ period_mm: number[]; distance_m: number[] }, { cpd: number[] }>('appearance', 'SE-04');
    there.inputs.period_mm.forEach((period, k) => {
      const cpd = cyclesPerDegree(period, 1000 * there.inputs.distance_m[k]);
      expectWithin(cpd, there.expected.cpd[k], there.tolerance, `${period} mm`);
    });
    const back = caseById<{ cpd: number[]; distance_m: number[] }, { period_mm: number[][] }>('appearance', 'SE-06');
    back.inputs.distance_m.forEach((distance, d) => {
      back.inputs.cpd.forEach((cpd, k) => {
        const period = (60 / cpd) * arcminMm(1000 * distance);
        expectWithin(period, back.expected.period_mm[d][k], back.tolerance, `${cpd} at ${distance} m`);
      });
    });
  });

  it('SE-07: yarns of two colours by turns; at 30 cycles a degree a single thread blends', () => {
    const { inputs, expected, tolerance } = caseById<
      { threads_per_cm: number[]; limit_cpd: number[] },
      { distance_m_where_period_reaches_limit: number[][] }
    >('appearance', 'SE-07');
    inputs.threads_per_cm.forEach((perCm, t) => {
      inputs.limit_cpd.forEach((limit, k) => {
        const distance = ((limit / 60) * blendDistanceMm(20 / perCm)) / 1000;
        const published = expected.distance_m_where_period_reaches_limit[t][k];
        expectWithin(distance, published, tolerance, `${perCm} to the cm, ${limit} cycles`);
        if (limit === 30) expectWithin(blendDistanceMm(10 / perCm) / 1000, published, tolerance, 'one thread');
      });
    });
  });

  it('SE-08: pixels to a degree of a screen', () => {
    const { inputs, expected, tolerance } = caseById<
      { display_dpi: number[]; distance_m: number[] },
      { pixels_per_degree: number[] }
    >('appearance', 'SE-08');
    inputs.display_dpi.forEach((dpi, k) => {
      // The eye's spread is 1 arcmin wide at half height: 2 sqrt(2 ln 2) standard deviations.
      const spread = eyeSpreadPx(1000 * inputs.distance_m[k], dpi / 25.4);
      const perDegree = 60 * 2 * Math.sqrt(2 * Math.LN2) * spread;
      expectWithin(perDegree, expected.pixels_per_degree[k], tolerance, `${dpi} to the inch`);
    });
    expect(cssPxPerMm * 25.4).toBe(inputs.display_dpi[0]);
    // Held where the reader sits before the screen, cloth is life size there.
    expect(trueMmPerPx(readerToScreenMm, cssPxPerMm)).toBe(1 / cssPxPerMm);
  });

  it('SE-06: of 60 cycles a degree, the usual upper limit of vision, next to nothing is left; of 4 nearly all', () => {
    const { inputs, expected } = caseById<{ cpd: number[]; distance_m: number[] }, { period_mm: number[][] }>(
      'appearance',
      'SE-06',
    );
    const left = (k: number) => contrastLeft(expected.period_mm[0][k], 1000 * inputs.distance_m[0]);
    expect(inputs.cpd[3]).toBe(60);
    expect(left(3)).toBeLessThan(0.05);
    expect(left(0)).toBeGreaterThan(0.95);
  });
});
