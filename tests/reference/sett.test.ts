import { describe, expect, it } from 'vitest';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { countFromTex, texFromCount } from '#engine/units/countSystems.ts';
import { perCm, perInch } from '#engine/units/lengths.ts';
import { hopsack, plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import {
  ASHENHURST_K,
  ashenhurstDiametersPerCm,
  averageFloat,
  brierleySettPerCm,
  clothCover,
  curvatureRatio,
  endsPlusIntersectionsRatio,
  fractionalCover,
  maximumSettPerCm,
  peirceCoverFactor,
  reweigh,
  SETT_SHARE,
  texCoverFactor,
  weaveRepeat,
} from '#engine/weave/sett.ts';
import { caseById, expectWithin } from './cases.ts';

/** F. T. Peirce 1937, J. Text. Inst. 28, T45: cotton, d = 1/(28 sqrt(Ne)) inch. */
const peirceCottonMm = (ne: number) => 25.4 / (28 * Math.sqrt(ne));

describe('cover', () => {
  it('CS-01: fractional and total cover of a square cotton cloth', () => {
    const { inputs, expected, tolerance } = caseById<
      { cotton_Ne: number; threads_per_cm: number },
      { fractional_cover_each: number; total_cover_percent: number }
    >('textile', 'CS-01');
    const cover = fractionalCover(inputs.threads_per_cm, peirceCottonMm(inputs.cotton_Ne));
    expectWithin(cover, expected.fractional_cover_each, tolerance, 'each');
    expectWithin(100 * clothCover(cover, cover), expected.total_cover_percent, tolerance, 'total');
  });

  it('CS-02: cover factors in both units', () => {
    const { inputs, expected, tolerance } = caseById<
      { n_per_inch: number; cotton_Ne: number },
      { K_Peirce: number; K_tex_cm: number; fractional_cover: number }
    >('textile', 'CS-02');
    const threadsPerCm = perCm(inputs.n_per_inch);
    expectWithin(peirceCoverFactor(inputs.n_per_inch, inputs.cotton_Ne), expected.K_Peirce, tolerance, 'K');
    expectWithin(
      texCoverFactor(threadsPerCm, texFromCount(inputs.cotton_Ne, 'Ne')),
      expected.K_tex_cm,
      tolerance,
      'K tex',
    );
    const cover = fractionalCover(threadsPerCm, peirceCottonMm(inputs.cotton_Ne));
    expectWithin(cover, expected.fractional_cover, tolerance, 'cover');
  });
});

describe('sett', () => {
  it("CS-04: Ashenhurst's worked example, 8/2 cotton", () => {
    const { expected, tolerance } = caseById<
      unknown,
      { diameters_per_inch: number; max_sett_plain: number; max_sett_2_2_twill: number }
    >('textile', 'CS-04');
    const tex = texFromCount(3360, 'ydPerLb');
    const k = ASHENHURST_K.worsted;
    expectWithin(perInch(ashenhurstDiametersPerCm(tex, k)), expected.diameters_per_inch, tolerance, 'diameters');
    const plain = maximumSettPerCm(tex, k, weaveRepeat(plainWeave()).warp);
    const twilled = maximumSettPerCm(tex, k, weaveRepeat(twill([2, 2])).warp);
    expectWithin(perInch(plain), expected.max_sett_plain, tolerance, 'plain');
    expectWithin(perInch(twilled), expected.max_sett_2_2_twill, tolerance, '2/2 twill');
  });

  it('CS-05: R, I and both ratios from the drawdown', () => {
    const { inputs, expected, tolerance } = caseById<
      { weaves: { name: string; R: number; I: number }[] },
      { ends_plus_intersections_ratio: number[]; curvature_ratio: number[]; average_float: number[] }
    >('textile', 'CS-05');
    const drawdowns: Record<string, Drawdown> = {
      plain: plainWeave(),
      '2/1 twill': twill([2, 1]),
      '2/2 twill': twill([2, 2]),
      '3/1 twill': twill([3, 1]),
      '5-end satin': satin(5, 2, 'warp'),
      '8-end satin': satin(8, 3, 'warp'),
      '3/3 twill': twill([3, 3]),
      '2/2 hopsack': hopsack(2),
      '1/1/2/2 six-end twill 2/1/1/2': twill([2, 1, 1, 2]),
    };
    inputs.weaves.forEach(({ name, R, I }, k) => {
      for (const system of Object.values(weaveRepeat(drawdowns[name]))) {
        expect(system).toEqual({ R, I });
        expectWithin(endsPlusIntersectionsRatio(system), expected.ends_plus_intersections_ratio[k], tolerance, name);
        expectWithin(curvatureRatio(system), expected.curvature_ratio[k], tolerance, name);
        expectWithin(averageFloat(system), expected.average_float[k], tolerance, name);
      }
    });
  });

  it("CS-07: Ashenhurst's k by class of yarn", () => {
    const { expected, tolerance } = caseById<unknown, { k_times_sqrt_ypp: number[] }>('textile', 'CS-07');
    [ASHENHURST_K.firm, ASHENHURST_K.worsted, ASHENHURST_K.woollen].forEach((k, c) => {
      // Read off the rule as it is used, at 1 yd/lb, where diameters per inch are k itself.
      const used = perInch(ashenhurstDiametersPerCm(texFromCount(1, 'ydPerLb'), k));
      expectWithin(used, expected.k_times_sqrt_ypp[c], tolerance, `class ${c}`);
    });
  });

  it('CS-08, CS-10: setts that weavers use are the shares of the maximum that the rule names', () => {
    const { inputs, expected, tolerance } = caseById<
      { yd_per_lb: number[] },
      { practice_epi: number[]; fraction_of_ashenhurst_plain_max: number[] }
    >('textile', 'CS-08');
    const [least, most] = tolerance.fraction_range as [number, number];
    inputs.yd_per_lb.forEach((yards, k) => {
      const full = perInch(maximumSettPerCm(texFromCount(yards, 'ydPerLb'), ASHENHURST_K.worsted, { R: 2, I: 2 }));
      const share = expected.practice_epi[k] / full;
      expectWithin(share, expected.fraction_of_ashenhurst_plain_max[k], { rel: 1e-5 }, `share at ${yards} yd/lb`);
      expect(share).toBeGreaterThan(least);
      expect(share).toBeLessThan(most);
      expectWithin(SETT_SHARE.normal * full, expected.practice_epi[k], { abs: tolerance.abs_epi }, `${yards} yd/lb`);
    });
    const shares = caseById<unknown, { fraction_of_maximum_sett: number[] }>('textile', 'CS-10');
    [SETT_SHARE.normal, SETT_SHARE.upholstery, SETT_SHARE.delicate].forEach((share, k) => {
      expectWithin(share, shares.expected.fraction_of_maximum_sett[k], shares.tolerance, `purpose ${k}`);
    });
  });

  it("CS-11: Brierley's maximum setts", () => {
    const { expected, tolerance } = caseById<unknown, Record<'plain' | 'twill22' | 'satin8', number[]>>(
      'textile',
      'CS-11',
    );
    const yarns = [
      ['Ne', 20],
      ['worsted', 18],
      ['yorkshireSkein', 12],
    ] as const;
    yarns.forEach(([system, count], k) => {
      const floatOf = (weave: Drawdown) => averageFloat(weaveRepeat(weave).warp);
      const plain = brierleySettPerCm(count, system, floatOf(plainWeave()), 'plain');
      const twilled = brierleySettPerCm(count, system, floatOf(twill([2, 2])), 'twill');
      const satined = brierleySettPerCm(count, system, floatOf(satin(8, 3, 'warp')), 'satin');
      expectWithin(perInch(plain), expected.plain[k], tolerance, `${system} plain`);
      expectWithin(perInch(twilled), expected.twill22[k], tolerance, `${system} 2/2 twill`);
      expectWithin(perInch(satined), expected.satin8[k], tolerance, `${system} satin`);
    });
  });

  it('CS-13: a heavier cloth of the same character', () => {
    const { expected, tolerance } = caseById<
      unknown,
      { new_warp_count: number; new_weft_count: number; new_epi: number; new_ppi: number }
    >('textile', 'CS-13');
    // 2/30s is 15s resultant.
    const warp = reweigh(countFromTex(texFromCount(15, 'Ne'), 'Ne'), perCm(56), 1.2);
    const weft = reweigh(18, perCm(60), 1.2);
    expectWithin(warp.indirectCount, expected.new_warp_count, tolerance, 'warp count');
    expectWithin(weft.indirectCount, expected.new_weft_count, tolerance, 'weft count');
    expectWithin(perInch(warp.threadsPerCm), expected.new_epi, tolerance, 'ends per inch');
    expectWithin(perInch(weft.threadsPerCm), expected.new_ppi, tolerance, 'picks per inch');
  });
});
