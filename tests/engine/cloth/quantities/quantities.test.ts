import { describe, expect, it } from 'vitest';
import { RowEnd } from '#engine/cloth/clothTypes.ts';
import { fibreContent } from '#engine/cloth/quantities/fibreContent.ts';
import { beforeLosses } from '#engine/cloth/quantities/losses.ts';
import { piecesFromWarp, type WarpPlanInput, warpPlan } from '#engine/cloth/quantities/warpPlan.ts';
import { ENDS_DRESSED_PER_MIN, HANDLING_S, weavingTime } from '#engine/cloth/quantities/weavingTime.ts';
import { scrapReach, weftLaidMm } from '#engine/cloth/quantities/weftLaid.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const cotton = roundBody('8/2', 0.462, 0.016, 147.6);
const problem = clothProblem({
  weave: drawdownFromRows([
    [1, 0],
    [0, 1],
  ]),
  rows: 20,
  ends: 80,
  endsPerCm: 8,
  warp: [cotton],
  weft: [cotton],
});
const scarf: WarpPlanInput = {
  pieces: 2,
  wovenMm: 1800,
  hemMm: 30,
  fringeMm: 100,
  headingMm: 150,
  wasteMm: 700,
  takeUp: 0.1,
};

describe('length of a warp', () => {
  it('has its allowances on lines that add up, each piece with two hems and two fringes', () => {
    const { totalMm, ...lines } = warpPlan(scarf);
    expect(Object.values(lines).reduce((sum, mm) => sum + mm, 0)).toBeCloseTo(totalMm, 9);
    expect(lines.hemsMm).toBe(120);
    expect(lines.fringesMm).toBe(400);
    // Take-up of what is woven alone: warp left as fringe has none.
    expect(lines.takeUpMm).toBeCloseTo((3600 + 120 + 150) / 9, 9);
  });

  it('gives back as many pieces as it was made for, and one less a millimetre short', () => {
    const { totalMm } = warpPlan(scarf);
    expect(piecesFromWarp(totalMm, scarf)).toBe(2);
    expect(piecesFromWarp(totalMm - 1, scarf)).toBe(1);
    expect(piecesFromWarp(100, scarf)).toBe(0);
  });

  it('refuses to lose all', () => {
    expect(() => beforeLosses(10, 1)).toThrow(/nothing would be left/);
  });
});

describe('weft laid', () => {
  it('is the way over 1 − take-up and the turn; cut, the tails in its place', () => {
    const turned = weftLaidMm(problem, 0.2, 1);
    expect(turned[0]).toBeCloseTo(100 / 0.8 + Math.PI / 2, 9);
    const cut = { ...problem, rowEnd: new Uint8Array(20).fill(RowEnd.cut), rowTailMm: new Float32Array(20).fill(12) };
    expect(weftLaidMm(cut, 0.2, 1)[0]).toBeCloseTo(100 / 0.8 + 24, 9);
  });

  it('a scrap weaves as high as it lasts: half of it a half, and beyond the sample as the sample goes on', () => {
    const uses = new Float64Array(20).fill(100);
    const rowYMm = Float64Array.from({ length: 20 }, (_, row) => row);
    expect(scrapReach(1000, uses, rowYMm, 20)).toEqual({ rows: 10, heightMm: 10, enough: false });
    expect(scrapReach(4000, uses, rowYMm, 20)).toEqual({ rows: 20, heightMm: 40, enough: true });
    expect(scrapReach(50, uses, rowYMm, 20)).toEqual({ rows: 0, heightMm: 0, enough: false });
    const everyOther = uses.map((mm, row) => (row % 2 === 0 ? mm : 0));
    expect(scrapReach(500, everyOther, rowYMm, 20)).toEqual({ rows: 5, heightMm: 10, enough: false });
  });
});

describe('time at the loom', () => {
  const plain = { picks: 1000, shuttleChanges: 0, cutPicks: 0, tailsWorked: 0, handPasses: 0, wovenMm: 0 };

  // A very practised weaver 38 picks a minute net, an experienced one 18 (weavers' accounts).
  it('is picks over the pace, and every handling on its own line on top', () => {
    expect(weavingTime(plain, 20).totalMin).toBe(50);
    const odd = weavingTime({ ...plain, shuttleChanges: 400, cutPicks: 100, tailsWorked: 50, handPasses: 10 }, 20);
    expect(odd.shuttlesMin).toBeCloseTo((400 * HANDLING_S.shuttleChange) / 60, 9);
    const lines = odd.throwsMin + odd.shuttlesMin + odd.cutsMin + odd.handMin + odd.windingMin;
    expect(odd.totalMin).toBeCloseTo(lines, 9);
    expect(odd.totalMin).toBeGreaterThan(90);
    expect(() => weavingTime(plain, 0)).toThrow(/above 0/);
  });

  // 640 ends: about 13 h to set up, part estimated by its author (weavers' accounts).
  it('dressing the loom with 640 ends takes a good day and a half', () => {
    expect(640 / ENDS_DRESSED_PER_MIN / 60).toBeCloseTo(13, 9);
  });
});

describe('what a cloth is made of', () => {
  it('adds up to all of it, most first, blends by their shares', () => {
    const found = fibreContent([
      { fibre: 'cotton', grams: 60 },
      { fibre: '60 % cotton, 40 % linen', grams: 30 },
      { fibre: 'moonlight', grams: 10 },
    ]);
    expect(found.map(({ fibre }) => fibre)).toEqual(['cotton', 'linen', 'other']);
    expect(found.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
    expect(found[0].share).toBeCloseTo(0.78, 12);
    expect(fibreContent([])).toEqual([]);
  });
});
