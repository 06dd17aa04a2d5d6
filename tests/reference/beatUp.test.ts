import { describe, expect, it } from 'vitest';
import {
  clothFellDistance,
  FAIRLY_FIRM,
  RESISTANCE_CONSTANT_MM,
  resistanceFromSpacing,
  spacingFromResistance,
} from '#engine/cloth/spacing/beatLaw.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { clothProblem, type ProblemOptions, roundBody } from '#tests/helpers/problems.ts';

const plain = drawdownFromRows([
  [1, 0],
  [0, 1],
]);
const doublePlain = drawdownFromRows([
  [1, 0, 0, 0],
  [1, 1, 1, 0],
  [0, 0, 1, 0],
  [1, 0, 1, 1],
]);

/** Widths and stiffness of the cottons: d = sqrt(4T/(π φ ρ)), φ 0.6, ρ 1.52; bending the mean of the free-fibre range. */
const cotton = {
  '5/2': roundBody('5/2', 0.574, 0.034, 236.2),
  '8/2': roundBody('8/2', 0.462, 0.016, 147.6),
  '10/2': roundBody('10/2', 0.406, 0.0167, 118.1),
  '20/2': roundBody('20/2', 0.287, 0.0082, 59.05),
};

/** Common practice: about 0.5 cN/tex. */
const tensionN = (tex: number) => 0.005 * tex;

function picksPerCm(options: Partial<ProblemOptions> & Pick<ProblemOptions, 'warp' | 'weft' | 'endsPerCm'>): number {
  const rows = 41;
  const problem = clothProblem({
    weave: plain,
    rows,
    ends: 40,
    endTensionN: tensionN(options.warp[0].tex),
    ...options,
  });
  return (10 * (rows - 1)) / rowPositions(problem, false).rowYMm[rows - 1];
}

describe('weaving resistance R = K/(S − D): Greenwood & Cowhig 1956, J. Text. Inst. 47, T241', () => {
  it('BU-01: resistance from spacing, K = 40 N mm, D = 0.4 mm', () => {
    const resistances = [0.8, 0.6, 0.5, 0.45].map((s) => resistanceFromSpacing(40, 0.4, s));
    [100, 200, 400, 800].forEach((r, i) => {
      expect(resistances[i]).toBeCloseTo(r, 6);
    });
  });

  it('BU-02: spacing from resistance; the pick density saturates at 1/D', () => {
    const spacings = [50, 100, 200, 400].map((r) => spacingFromResistance(40, 0.4, r));
    [1.2, 0.8, 0.6, 0.5].forEach((s, i) => {
      expect(spacings[i]).toBeCloseTo(s, 6);
    });
    expect(10 / spacingFromResistance(40, 0.4, 1e9)).toBeCloseTo(10 / 0.4, 5);
  });

  it('BU-03: cloth-fell distance, R = (Ew/Lw + Ef/Lf) Z, Z = L − S', () => {
    const { springNPerMm, fellDistanceMm } = clothFellDistance(
      200,
      0.6,
      { modulusN: 20000, lengthMm: 1200 },
      { modulusN: 12000, lengthMm: 300 },
    );
    expect(springNPerMm).toBeCloseTo(56.6667, 3);
    expect(fellDistanceMm).toBeCloseTo(4.12941, 4);
  });
});

describe('pick spacing of real cloths', () => {
  it('BU-08: 10/2 cotton, plain, 24 ends/in, fairly firm: 21 picks/in (a weaver’s account of napkins); fits k0', () => {
    const perInch =
      2.54 *
      picksPerCm({ warp: [cotton['10/2']], weft: [cotton['10/2']], endsPerCm: 24 / 2.54, firmness: FAIRLY_FIRM });
    expect(perInch).toBeGreaterThan(20);
    expect(perInch).toBeLessThan(22);
    // S − D there is about 0.75 mm, which with K = k0·x·(T + B/p²) gives k0 back within a tenth.
    const spacingMm = 25.4 / 21;
    const x = 24 / 2.54;
    const k0 = ((spacingMm - 0.406) * (50 / 60) * 8 ** FAIRLY_FIRM) / (x * (tensionN(118.1) + 0.0167 / spacingMm ** 2));
    expect(Math.abs(RESISTANCE_CONSTANT_MM / k0 - 1)).toBeLessThan(0.1);
  });

  // Magazine columns on setts (5/2 at 16, 8/2 at 20 ends/in, plain): a balanced cloth has as many picks as ends, at a
  // beat between medium and firm; one weaver calls ±1 in 12 even (common practice), so a fifth is asked here.
  for (const [label, endsPerInch] of [
    ['5/2', 16],
    ['8/2', 20],
  ] as const) {
    it(`${label} cotton, plain at ${endsPerInch} ends/in, weaves balanced within a fifth`, () => {
      const yarn = cotton[label];
      const perInch =
        2.54 * picksPerCm({ warp: [yarn], weft: [yarn], endsPerCm: endsPerInch / 2.54, firmness: FAIRLY_FIRM });
      expect(Math.abs(perInch / endsPerInch - 1)).toBeLessThan(0.2);
    });
  }

  it('BU-06: a close sett weaves warp-faced (fewer picks than ends), an open one weft-faced', () => {
    const open = picksPerCm({ warp: [cotton['8/2']], weft: [cotton['20/2']], endsPerCm: 3, firmness: 0.9 });
    expect(open).toBeGreaterThan(2 * 3);
    const close = picksPerCm({ warp: [cotton['8/2']], weft: [cotton['8/2']], endsPerCm: 18 });
    expect(close).toBeLessThan(18);
  });

  it('double plain takes about as many picks in each layer as the layer alone would', () => {
    const single = picksPerCm({ warp: [cotton['20/2']], weft: [cotton['20/2']], endsPerCm: 12 });
    const double = picksPerCm({ weave: doublePlain, warp: [cotton['20/2']], weft: [cotton['20/2']], endsPerCm: 24 });
    expect(double / single).toBeGreaterThan(1.7);
    expect(double / single).toBeLessThan(2.3);
  });
});
