import { describe, expect, it } from 'vitest';
import { afterLosses, beforeLosses } from '#engine/cloth/quantities/losses.ts';
import { warpPlan, wovenForFinished } from '#engine/cloth/quantities/warpPlan.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { fitBeat } from '#engine/cloth/swatch/fitBeat.ts';
import { halfWay } from '#engine/cloth/swatch/halfWay.ts';
import { beatOfLoom } from '#engine/cloth/swatch/loomBeat.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { fromMm, perCm, toMm } from '#engine/units/lengths.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';
import { caseById, expectWithin } from './cases.ts';

const plain = drawdownFromRows([
  [1, 0],
  [0, 1],
]);
const thread = roundBody('fine', 0.15, 0.002, 20);
const warpOnly = { pieces: 1, hemMm: 0, fringeMm: 0, headingMm: 0 };

describe('a piece half woven, against rows and heights of pictures', () => {
  /** A picture of 300 rows, planned square at 24 picks to the cm; woven it comes out at 16. */
  const planned = clothProblem({
    weave: plain,
    rows: 300,
    ends: 40,
    endsPerCm: 24,
    warp: [thread],
    weft: [thread],
    fixedPicksPerCm: 24,
  });
  const woven = halfWay(planned, 60, 600 / 16);

  it('IG-02: with the rest recut, as many rows as keep it in proportion at the picks there are', () => {
    const { expected } = caseById<unknown, { rows_if_rounded: number[] }>('appearance', 'IG-02');
    expect(60 + woven.recut!.picks).toBe(expected.rows_if_rounded[1]);
  });

  it('IG-03: with the picks kept, the height that so many rows take', () => {
    const { expected, tolerance } = caseById<unknown, { height_mm: number[]; height_over_width: number[] }>(
      'appearance',
      'IG-03',
    );
    expectWithin(woven.keepPicks.heightMm, expected.height_mm[0], tolerance, 'height');
    // 400 columns at 24 ends to the cm against 300 rows: the plan was 3 to 4.
    const planOverWidth = woven.plannedMm / (4000 / 24);
    expectWithin((1 + woven.keepPicks.error) * planOverWidth, expected.height_over_width[0], tolerance, 'shape');
  });
});

describe('sizes from stage to stage', () => {
  it('IG-05: what is lost of loom sizes leaves the finished ones, and threads crowd by as much', () => {
    const {
      inputs: i,
      expected,
      tolerance,
    } = caseById<Record<string, number>, Record<string, number>>('appearance', 'IG-05');
    const widthMm = (10 * i.columns) / i.loom_ends_per_cm;
    const heightMm = (10 * i.rows) / i.loom_picks_per_cm;
    expectWithin(afterLosses(widthMm, i.width_loss), expected.finished_width_mm, tolerance, 'width');
    expectWithin(afterLosses(heightMm, i.length_loss), expected.finished_height_mm, tolerance, 'height');
    expectWithin(beforeLosses(i.loom_ends_per_cm, i.width_loss), expected.finished_ends_per_cm, tolerance, 'ends');
  });

  it('MF-01: a crackle sample, loom to second wash: stage by stage is the same as all at once', () => {
    const { expected } = caseById<unknown, Record<string, number>>('textile', 'MF-01');
    const off = 1 - expected.off_loom_in / expected.width_on_loom_in;
    const washed = 1 - expected.after_wash_2_in / expected.off_loom_in;
    expect(afterLosses(expected.width_on_loom_in, off, washed)).toBeCloseTo(expected.after_wash_2_in, 9);
    expect(wovenForFinished(expected.after_wash_2_in, off, washed)).toBeCloseTo(expected.width_on_loom_in, 9);
    // Added, as is done by mistake, the piece would come out narrower than was wanted.
    expect(afterLosses(expected.after_wash_2_in * (1 + off + washed), off, washed)).toBeLessThan(
      expected.after_wash_2_in,
    );
  });

  it('MF-28: Alhambra quilt, two warps of unlike take-up: each as long as its own share asks', () => {
    const { inputs, expected } = caseById<{ cloth_yd: number }, Record<string, number>>('textile', 'MF-28');
    const wound = (takeUp: number) =>
      fromMm(warpPlan({ ...warpOnly, wovenMm: toMm(inputs.cloth_yd, 'yd'), wasteMm: 0, takeUp }).totalMm, 'yd');
    expect(wound(expected.takeup_figure)).toBeCloseTo(expected.figuring_warp_yd, 3);
    expect(wound(expected.takeup_ground)).toBeCloseTo(expected.ground_warp_yd, 3);
  });

  it('MF-06: a wool scarf: woven and unwoven lengths make up the warp and what it was stretched by', () => {
    const {
      inputs: i,
      expected,
      tolerance,
    } = caseById<Record<string, number>, Record<string, number>>('textile', 'MF-06');
    const plan = warpPlan({
      ...warpOnly,
      wovenMm: toMm(i.woven_under_tension_in, 'in'),
      wasteMm: toMm(i.tie_on_in + i.unwoven_in, 'in'),
      takeUp: 0,
    });
    expectWithin(fromMm(plan.totalMm, 'in') - expected.stretch_on_loom_in, i.warp_len_in, tolerance, 'warp');
  });
});

describe('the beat of a measured cloth, kept with its loom', () => {
  it('MF-16: napkins of 10/2 at 24 ends an inch, 20 to 22 picks: the next range holds both', () => {
    const { inputs } = caseById<{ epi_loom: number; ppi_loom: [number, number] }, unknown>('textile', 'MF-16');
    // Width and stiffness of 10/2 as in the tests of the beat; 0.5 cN/tex is common practice.
    const cotton = roundBody('10/2', 0.406, 0.0167, 118.1);
    const problem = clothProblem({
      weave: plain,
      rows: 81,
      ends: 60,
      endsPerCm: perCm(inputs.epi_loom),
      warp: [cotton],
      weft: [cotton],
      endTensionN: 0.59,
      firmness: 0.4,
    });
    const [fewest, most] = inputs.ppi_loom;
    const counted = perCm((fewest + most) / 2);
    const loom = beatOfLoom([fitBeat(problem, counted, toMm(4, 'in'))])!;
    const picksPerCm = (factor: number) => {
      const { rowYMm } = rowPositions({ ...problem, beat: { ...problem.beat, resistanceFactor: factor } }, false);
      return (10 * 80) / rowYMm[80];
    };
    const before = picksPerCm(1);
    const next = picksPerCm(loom.resistanceFactor);
    expect(Math.abs(next - counted)).toBeLessThan(0.25 * Math.abs(before - counted));
    expect(picksPerCm(loom.resistanceFactor / loom.resistanceDoubt)).toBeLessThan(perCm(fewest));
    expect(picksPerCm(loom.resistanceFactor * loom.resistanceDoubt)).toBeGreaterThan(perCm(most));
  });
});
