import { describe, expect, it } from 'vitest';
import { G_PER_M2_PER_OZ_PER_YD2, systemGPerM2 } from '#engine/cloth/quantities/clothWeight.ts';
import { afterLosses, beforeLosses, takeUpOfCrimp, taylorContraction } from '#engine/cloth/quantities/losses.ts';
import { endsForWidth, warpPlan, wovenForFinished } from '#engine/cloth/quantities/warpPlan.ts';
import { dentEnds, dentsPerInchOfPorters } from '#engine/cloth/reed/denting.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { COUNT_SYSTEMS } from '#engine/units/countSystems.ts';
import { fromMm, GRAMS_PER_POUND, perCm, toMm } from '#engine/units/lengths.ts';
import { interlacementsPerEnd } from '#engine/weave/interlacement.ts';
import { caseById, expectWithin } from './cases.ts';

const texOfNe = (ne: number) => COUNT_SYSTEMS.Ne.texConstant / ne;
type Numbers = Record<string, number>;

describe('weight of cloth', () => {
  it('TQ-01: both systems apart, from tex and threads to the cm (GATE Textile 2009 Q37)', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-01');
    const warp = systemGPerM2({ perCm: i.ends_cm, tex: i.tex_warp, crimp: i.c1 });
    const weft = systemGPerM2({ perCm: i.picks_cm, tex: i.tex_weft, crimp: i.c2 });
    expectWithin(warp, expected.warp_g_m2, tolerance, 'warp');
    expectWithin(weft, expected.weft_g_m2, tolerance, 'weft');
    expectWithin(warp + weft, expected.g_m2, tolerance, 'cloth');
  });

  it('TQ-03: from cotton counts (GATE Textile 2003 Q74)', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-03');
    const found =
      systemGPerM2({ perCm: i.ends_cm, tex: texOfNe(i.Ne_warp), crimp: i.c1 }) +
      systemGPerM2({ perCm: i.picks_cm, tex: texOfNe(i.Ne_weft), crimp: i.c2 });
    expectWithin(found, expected.g_m2, tolerance, 'g/m²');
  });

  it('TQ-05: per inch and in ounces to the square yard (closed form)', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-05');
    const found =
      systemGPerM2({ perCm: perCm(i.epi), tex: texOfNe(i.Ne_warp), crimp: i.c1 }) +
      systemGPerM2({ perCm: perCm(i.ppi), tex: texOfNe(i.Ne_weft), crimp: i.c2 });
    expectWithin(found, expected.g_m2, tolerance, 'g/m²');
    expectWithin(found / G_PER_M2_PER_OZ_PER_YD2, expected.oz_yd2, tolerance, 'oz/yd²');
  });

  it('TQ-06: the trade’s constant holds about a tenth of crimp (nandlalvijaykumar.com, trade rule)', () => {
    const { expected, tolerance } = caseById<unknown, Numbers>('textile', 'TQ-06');
    const perUnit = systemGPerM2({ perCm: perCm(1), tex: texOfNe(1), crimp: 0 });
    expectWithin(perUnit, expected.constant_without_crimp, tolerance, 'constant');
    const crimp = expected.constant / perUnit - 1;
    const found = [177, 87].reduce(
      (sum, perInch) => sum + systemGPerM2({ perCm: perCm(perInch), tex: texOfNe(60), crimp }),
      0,
    );
    expectWithin(found, expected.g_m2_trade_rule, tolerance, 'g/m²');
    expect(crimp).toBeGreaterThan(0.09);
    expect(crimp).toBeLessThan(0.11);
  });
});

describe('contraction in weaving: J. T. Taylor 1909, Cotton Weaving and Designing', () => {
  it('TQ-07: 5-end satin, 180 picks of 70s to the inch: intersections from the weave itself', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-07');
    const satin = drawdownFromRows(
      [0, 2, 4, 1, 3].map((up) => Array.from({ length: 5 }, (_, end) => (end === up ? 0 : 1))),
    );
    const perInch = (i.ppi * interlacementsPerEnd(satin)[0]) / 5;
    expectWithin(perInch, expected.intersections_per_inch, tolerance, 'intersections');
    const contraction = taylorContraction(4, perInch, i.Ne_weft);
    expectWithin(100 * contraction, expected.contraction_percent, tolerance, 'contraction');
    expectWithin(beforeLosses(94, contraction), expected.warp_yd_for_94_yd, tolerance, 'warp for 94 yd');
  });

  it('TQ-09: plain, 60 picks of 40s, a medium cloth', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-09');
    const plain = drawdownFromRows([
      [1, 0],
      [0, 1],
    ]);
    const perInch = (i.ppi * interlacementsPerEnd(plain)[0]) / 2;
    expectWithin(100 * taylorContraction(i.k, perInch, i.Ne_weft), expected.contraction_percent, tolerance, '%');
  });
});

describe('losses are divided, not added', () => {
  it('TQ-10: a fifth lost of 12.5 leaves 10, a fifth added to 10 leaves 9.6 (cnch.org)', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-10');
    const lost = 1 - i.finished_length_in / i.loom_length_in;
    expectWithin(lost, expected.shrinkage, tolerance, 'share lost');
    expectWithin(beforeLosses(10, lost), expected.right_weave_length_for_10, tolerance, 'woven for 10');
    expectWithin(afterLosses(expected.wrong_weave_length, lost), expected.wrong_result, tolerance, 'left of 12');
  });

  it('TQ-15: scarf, division after division (closed form)', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-15');
    const wovenMm = wovenForFinished(toMm(i.finished_len_in, 'in'), 0, i.wash_shrinkage);
    expectWithin(fromMm(wovenMm, 'in'), expected.woven_len_offloom_in, tolerance, 'woven');
    const plan = warpPlan({
      pieces: i.items,
      wovenMm,
      hemMm: 0,
      fringeMm: 0,
      headingMm: 0,
      wasteMm: toMm(i.loom_waste_in, 'in'),
      takeUp: i.takeup_of_warp,
    });
    expectWithin(fromMm(plan.totalMm, 'in'), expected.warp_len_in, tolerance, 'warp');
    const widthMm = wovenForFinished(toMm(i.finished_w_in, 'in'), 0, i.width_loss_total);
    expectWithin(fromMm(widthMm, 'in'), expected.reed_width_in, tolerance, 'width in the reed');
    const ends = endsForWidth(widthMm, perCm(i.epi));
    expect(ends).toBe(expected.ends);
    expectWithin((ends * plan.totalMm * i.tex) / 1e6, expected.warp_g, tolerance, 'warp, g');
  });
});

describe('yarn for a piece', () => {
  it('TQ-12: 36 in by 36 yd, 64 by 64, 30s and 36s, 38 in in the reed (C. P. Brooks 1888)', () => {
    const { expected, tolerance } = caseById<unknown, Numbers>('textile', 'TQ-12');
    // The reed of 60 Stockport: 60 ends to the inch, two to the dent.
    const ends = endsForWidth(toMm(38, 'in'), perCm(60));
    expectWithin(ends, expected.ends, tolerance, 'ends');
    const dented = dentEnds({ dentsPerCm: perCm(30), endsPerDent: [2], wireShare: 0.3 }, ends);
    expectWithin(fromMm(dented.widthMm, 'in'), 38, tolerance, 'width in the reed');
    const warpMm = ends * toMm(38, 'yd');
    expectWithin(fromMm(warpMm, 'yd') / 840, expected.warp_hanks, tolerance, 'hanks');
    const pounds = (mm: number, ne: number) => (mm * texOfNe(ne)) / 1e6 / GRAMS_PER_POUND;
    expectWithin(pounds(warpMm, 30), expected.warp_lb, tolerance, 'warp, lb');
    const weftMm = 64 * fromMm(toMm(36, 'yd'), 'in') * toMm(37.5, 'in');
    expectWithin(pounds(weftMm, 36), expected.weft_lb, tolerance, 'weft, lb');
  });

  it('TQ-14: weft of a rag rug (sewmanypins.com): a tenth of crimp over the cloth is less of the yarn', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-14');
    const netMm = i.length_in * i.ppi * toMm(i.width_in, 'in');
    expectWithin(fromMm(netMm, 'yd'), expected.weft_yd_net, tolerance, 'net');
    const weftMm = beforeLosses(netMm, takeUpOfCrimp(i.takeup));
    expectWithin(fromMm(weftMm, 'yd'), expected.weft_yd, tolerance, 'with take-up');
  });
});

describe('reeds', () => {
  it('TQ-18: porters of 20 splits in 37 in (Spons’ Encyclopaedia, Jute manufactures)', () => {
    const { inputs: i, expected, tolerance } = caseById<Numbers, Numbers>('textile', 'TQ-18');
    const dentsPerInch = dentsPerInchOfPorters(i.porter, 20, 37);
    expectWithin(37 * dentsPerInch, expected.splits_per_37in, tolerance, 'splits');
    const { widthMm } = dentEnds({ dentsPerCm: perCm(dentsPerInch), endsPerDent: [2], wireShare: 0.3 }, 640);
    expectWithin(640 / fromMm(widthMm, 'in'), expected.ends_per_inch_2_per_split, tolerance, 'ends per inch');
  });
});
