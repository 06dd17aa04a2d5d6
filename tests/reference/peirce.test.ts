import { describe, expect, it } from 'vitest';
import { pullWarp } from '#engine/cloth/peirce/crimpInterchange.ts';
import { jammedSpacingRatio, SQUARE_JAM_RATIO } from '#engine/cloth/peirce/jamming.ts';
import {
  heightFromCrimp,
  heightFromCrimpRounded,
  type PlainWeave,
  type PlainWeaveInput,
  pathFromHeight,
  plainWeaveFromHeight,
  plainWeaveFromWarpCrimp,
  thicknessMm,
} from '#engine/cloth/peirce/peirce.ts';
import { caseById, expectWithin, type Tolerance } from './cases.ts';

const DEGREES = 180 / Math.PI;
const MM_PER_INCH = 25.4;

interface SolvedWeave {
  readonly D: number;
  readonly h1: number;
  readonly h2: number;
  readonly theta1_deg: number;
  readonly theta2_deg: number;
  readonly l1: number;
  readonly l2: number;
  readonly c1: number;
  readonly c2: number;
  readonly thickness: number;
}

function expectWeave(weave: PlainWeave, expected: SolvedWeave, tolerance: Tolerance): void {
  const ours: SolvedWeave = {
    D: weave.dMm,
    h1: weave.h1Mm,
    h2: weave.h2Mm,
    theta1_deg: weave.warp.angleRad * DEGREES,
    theta2_deg: weave.weft.angleRad * DEGREES,
    l1: weave.warp.lengthMm,
    l2: weave.weft.lengthMm,
    c1: weave.warp.crimp,
    c2: weave.weft.crimp,
    thickness: weave.thicknessMm,
  };
  for (const key of Object.keys(ours) as (keyof SolvedWeave)[]) {
    expectWithin(ours[key], expected[key], tolerance, key);
  }
}

/** F. T. Peirce 1937, The geometry of cloth structure, J. Text. Inst. 28, T45, and later texts that work it out. */
describe('02 Peirce plain weave', () => {
  it('PE-01: jammed square cloth, N. Balasubramanian', () => {
    const c = caseById<
      unknown,
      { theta_deg: number; l_over_D: number; p_over_D: number; crimp: number; h_over_D: number }
    >('textile', 'PE-01');
    const path = pathFromHeight(SQUARE_JAM_RATIO, 0.5, 1);
    expectWithin(path.angleRad * DEGREES, c.expected.theta_deg, c.tolerance, 'θ');
    expectWithin(path.lengthMm, c.expected.l_over_D, c.tolerance, 'l/D');
    expectWithin(path.crimp, c.expected.crimp, c.tolerance, 'crimp');
    expectWithin(jammedSpacingRatio(SQUARE_JAM_RATIO), c.expected.p_over_D, c.tolerance, 'p/D');
  });

  it('PE-02: 0.5 mm threads jammed both ways, GATE 2009', () => {
    const c = caseById<
      { d1_mm: number; d2_mm: number },
      { crimp_percent: number; p_mm: number; threads_per_cm: number }
    >('textile', 'PE-02');
    const dMm = c.inputs.d1_mm + c.inputs.d2_mm;
    const pMm = SQUARE_JAM_RATIO * dMm;
    expectWithin(pMm, c.expected.p_mm, c.tolerance, 'p');
    expectWithin(10 / pMm, c.expected.threads_per_cm, c.tolerance, 'threads/cm');
    expectWithin(100 * pathFromHeight(pMm, dMm / 2, dMm).crimp, c.expected.crimp_percent, c.tolerance, 'crimp %');
  });

  it('PE-03: seven equations from h1', () => {
    const c = caseById<{ d1: number; d2: number; p1: number; p2: number; h1: number }, SolvedWeave>('textile', 'PE-03');
    const { d1, d2, p1, p2, h1 } = c.inputs;
    expectWeave(plainWeaveFromHeight({ d1Mm: d1, d2Mm: d2, p1Mm: p1, p2Mm: p2 }, h1), c.expected, c.tolerance);
  });

  it('PE-04: seven equations from the warp crimp', () => {
    const c = caseById<{ d1: number; d2: number; p1: number; p2: number; c1: number }, SolvedWeave>('textile', 'PE-04');
    const { d1, d2, p1, p2, c1 } = c.inputs;
    expectWeave(plainWeaveFromWarpCrimp({ d1Mm: d1, d2Mm: d2, p1Mm: p1, p2Mm: p2 }, c1), c.expected, c.tolerance);
  });

  it.each(['PE-06', 'PE-08'])('%s: setts in ends and picks per inch, equal crimp heights', (id) => {
    const c = caseById<{ d1: number; d2: number; epi: number; ppi: number }, SolvedWeave>('textile', id);
    const { d1, d2, epi, ppi } = c.inputs;
    const input = { d1Mm: d1, d2Mm: d2, p1Mm: MM_PER_INCH / epi, p2Mm: MM_PER_INCH / ppi };
    expectWeave(plainWeaveFromHeight(input, (d1 + d2) / 2), c.expected, c.tolerance);
  });

  it('PE-09: jamming, sqrt(1 − (p1/D)²) + sqrt(1 − (p2/D)²) = 1', () => {
    const c = caseById<{ p1_over_D: number[] }, { p2_over_D_at_jam: number[] }>('textile', 'PE-09');
    c.inputs.p1_over_D.forEach((ratio, i) => {
      expectWithin(jammedSpacingRatio(ratio), c.expected.p2_over_D_at_jam[i], c.tolerance, `p1/D ${ratio}`);
    });
  });

  it('PE-11: crimp interchange until the weft jams', () => {
    const c = caseById<
      { start: { d1: number; d2: number; p1: number; p2: number; c1: number } },
      {
        theta2_deg: number;
        h2: number;
        h1: number;
        p1_new: number;
        p2_new: number;
        warp_extension: number;
        width_contraction: number;
        warp_fully_straight: boolean;
      }
    >('textile', 'PE-11');
    const { d1, d2, p1, p2, c1 } = c.inputs.start;
    const input: PlainWeaveInput = { d1Mm: d1, d2Mm: d2, p1Mm: p1, p2Mm: p2 };
    const pulled = pullWarp(plainWeaveFromWarpCrimp(input, c1), input);
    expectWithin(pulled.theta2Rad * DEGREES, c.expected.theta2_deg, c.tolerance, 'θ2');
    expectWithin(pulled.h2Mm, c.expected.h2, c.tolerance, 'h2');
    expectWithin(pulled.h1Mm, c.expected.h1, c.tolerance, 'h1');
    expectWithin(pulled.p1Mm, c.expected.p1_new, c.tolerance, 'p1');
    expectWithin(pulled.p2Mm, c.expected.p2_new, c.tolerance, 'p2');
    expectWithin(pulled.warpExtension, c.expected.warp_extension, c.tolerance, 'extension');
    expectWithin(pulled.widthContraction, c.expected.width_contraction, c.tolerance, 'contraction');
    expect(pulled.warpStraight).toBe(c.expected.warp_fully_straight);
  });

  /** The examination's d = 4.44e-3 sqrt(tex/ρ) cm. */
  const examDiameterMm = (tex: number, rho: number) => 0.0444 * Math.sqrt(tex / rho);

  it('PE-13: l1/D of a cotton sheeting, GATE 2008', () => {
    const c = caseById<{ picks_per_cm: number; tex_warp: number; tex_weft: number; c1: number }, { l1_over_D: number }>(
      'textile',
      'PE-13',
    );
    const { picks_per_cm, tex_warp, tex_weft, c1 } = c.inputs;
    const [d1Mm, d2Mm] = [examDiameterMm(tex_warp, 1.53), examDiameterMm(tex_weft, 1.53)];
    const input = { d1Mm, d2Mm, p1Mm: 10 / 25, p2Mm: 10 / picks_per_cm };
    const weave = plainWeaveFromWarpCrimp(input, c1);
    expectWithin(weave.warp.lengthMm / weave.dMm, c.expected.l1_over_D, c.tolerance, 'l1/D');
  });

  it('PE-15: thickness from cover factors and crimp, GATE 2010', () => {
    const c = caseById<
      { c1: number; d1_cm: number; sqrt_T2_over_T1: number; K2: number; rho: number },
      { thickness_cm: number }
    >('textile', 'PE-15');
    const { c1, d1_cm, sqrt_T2_over_T1, K2, rho } = c.inputs;
    const d1 = 10 * d1_cm;
    const d2 = d1 * sqrt_T2_over_T1;
    const rootTex2 = (d2 / 0.0444) * Math.sqrt(rho);
    const p2 = rootTex2 / K2;
    const h1 = heightFromCrimpRounded(p2, c1);
    expectWithin(thicknessMm(d1, d2, h1, d1 + d2 - h1) / 10, c.expected.thickness_cm, c.tolerance, 'thickness');
  });

  it('PE-17: thickness is the greater of both threads, GATE 2011 (its key takes the warp alone, 0.36)', () => {
    const c = caseById<
      { d1_mm: number; d2_mm: number; c1: number; p2_mm: number },
      { h1_mm: number; thickness_mm: number }
    >('textile', 'PE-17');
    const { d1_mm: d1, d2_mm: d2, c1, p2_mm: p2 } = c.inputs;
    const rounded = heightFromCrimpRounded(p2, c1);
    expectWithin(rounded, c.expected.h1_mm, c.tolerance, 'h1, rounded rule');
    expectWithin(thicknessMm(d1, d2, rounded, d1 + d2 - rounded), c.expected.thickness_mm, c.tolerance, 'thickness');
    // The exact height stays within the case's 4 % of the rounded one.
    expectWithin(heightFromCrimp(p2, c1, d1 + d2), c.expected.h1_mm, c.tolerance, 'h1, exact');
  });

  it('PE-18: thinnest where h1 = d2', () => {
    const c = caseById<{ d1: number; d2: number }, { thickness: number; h1: number; h2: number }>('textile', 'PE-18');
    const { d1, d2 } = c.inputs;
    let [least, at] = [Number.POSITIVE_INFINITY, 0];
    const steps = 4300;
    for (let i = 0; i <= steps; i++) {
      const h1 = ((d1 + d2) * i) / steps;
      const t = thicknessMm(d1, d2, h1, d1 + d2 - h1);
      if (t < least) [least, at] = [t, h1];
    }
    expectWithin(least, c.expected.thickness, c.tolerance, 'thickness');
    expectWithin(at, c.expected.h1, c.tolerance, 'h1');
  });

  it('PE-19: exact coefficient of h/p = k sqrt(c) against the rounded 4/3', () => {
    const c = caseById<{ D_over_p: number[]; crimp: number }, { h_over_p_sqrtc: number[]; approximation: number }>(
      'textile',
      'PE-19',
    );
    const root = Math.sqrt(c.inputs.crimp);
    c.inputs.D_over_p.forEach((ratio, i) => {
      const k = heightFromCrimp(1, c.inputs.crimp, ratio) / root;
      expectWithin(k, c.expected.h_over_p_sqrtc[i], c.tolerance, `D/p ${ratio}`);
    });
    expectWithin(heightFromCrimpRounded(1, c.inputs.crimp) / root, c.expected.approximation, c.tolerance, 'rounded');
  });
});
