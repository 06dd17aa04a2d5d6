import { describe, expect, it } from 'vitest';
import { levelField } from '#engine/cloth/curve.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { layerMap, Side } from '#engine/cloth/relief/layerMap.ts';
import { layRelief } from '#engine/cloth/relief/layRelief.ts';
import { hasNarrowLayers } from '#engine/cloth/relief/narrowLayers.ts';
import { excessOfHeight, pocketHeightMm, solidBuckling } from '#engine/cloth/relief/pocketLaw.ts';
import { pocketShapes } from '#engine/cloth/relief/pocketShape.ts';
import { findPockets } from '#engine/cloth/relief/pockets.ts';
import { type Drawdown, drawdownFromRows, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { doublePlain } from '#engine/weave/compoundWeaves.ts';
import type { YarnFinishing } from '#engine/yarn/finishing.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, type ProblemOptions, repeatWeave, roundBody } from '#tests/helpers/problems.ts';

const over = doublePlain(['face', 'back'], ['face', 'back']);
const under = doublePlain(['back', 'face'], ['back', 'face']);
/** Stripes of double plain that change over every `span` ends. */
const stripes = (span: number): Drawdown => blockDrawdown([[0, 1]], [over, under], span, 4);

const bits = (row: string): number[] => Array.from(row, (mark) => (mark === '#' ? 1 : 0));

const spaces = (x: Float64Array) => x.subarray(1).map((mm, k) => mm - x[k]);

/** Length of h sin(πx/L) over its span by 2 000 chords. */
function arcOver(heightMm: number, spanMm: number): number {
  let length = 0;
  const z = (k: number) => heightMm * Math.sin((Math.PI * k) / 2000);
  for (let k = 0; k < 2000; k++) length += Math.hypot(spanMm / 2000, z(k + 1) - z(k));
  return length / spanMm - 1;
}

describe('the height of a pocket', () => {
  it.each([0.01, 0.03, 0.06, 0.1])('is that of a half sine longer than its span by %f, within 4 %', (excess) => {
    // Arc length counted by chords: nothing of the law's own.
    expect(arcOver(pocketHeightMm(20, excess), 20) / excess).toBeGreaterThan(0.93);
    expect(arcOver(pocketHeightMm(20, excess), 20) / excess).toBeLessThan(1.001);
  });

  it('goes as the span and as the root of the excess, and back again', () => {
    expect(pocketHeightMm(20, 0.04) / pocketHeightMm(10, 0.01)).toBeCloseTo(4, 12);
    expect(excessOfHeight(20, pocketHeightMm(20, 0.05))).toBeCloseTo(0.05, 12);
    expect(pocketHeightMm(20, 0)).toBe(0);
  });

  it('of a solid layer 1 mm thick over 10 mm begins at Euler’s 0.8 %', () => {
    // Strut between hinges, rectangular section: ε = π² t²/(12 L²) (L. Euler 1744).
    expect(solidBuckling(1, 10)).toBeCloseTo(0.00822, 5);
  });
});

describe('where a cloth falls into layers', () => {
  const mapOf = (weave: Drawdown, rows: number, ends: number) =>
    finish(layerMap(repeatWeave(weave, rows, ends), rows, ends, true));

  it.each([
    ['plain weave', plainWeave()],
    ['2/2 twill', twill([2, 2])],
    ['8-end satin', satin(8, 3, 'warp')],
    ['8/8 twill, all floats', twill([8, 8])],
  ])('%s nowhere does', (_, weave) => {
    expect(mapOf(weave, 32, 32).rowSide.every((side) => side === Side.none)).toBe(true);
  });

  it('double plain does everywhere, odd threads uppermost, and no edge bounds it', () => {
    const map = mapOf(over, 16, 16);
    map.rowSide.forEach((side, k) => {
      expect(side).toBe(Math.floor(k / 16) % 2 === 0 ? Side.upper : Side.lower);
      expect(map.endSide[k]).toBe(k % 2 === 0 ? Side.upper : Side.lower);
    });
    const pockets = findPockets(map, true);
    expect(pockets.count).toBe(1);
    const even = new Float64Array(16).fill(1);
    expect(finish(pocketShapes(map, pockets, even, even, true)).spanMm[0]).toBe(0);
  });

  it('stitches part pockets: one back end over a face pick, in a line, leaves that line to both layers', () => {
    const weave = repeatWeave(over, 24, 24);
    // Back ends are the odd ones; every face pick goes under one of them.
    for (let row = 0; row < 24; row += 2) setWarpUp(weave, row, 13, true);
    const map = finish(layerMap(weave, 24, 24, true));
    const pockets = findPockets(map, true);
    expect(pockets.count).toBe(1);
    for (let row = 0; row < 24; row++) expect(pockets.pocketOf[row * 24 + 13]).toBe(-1);
    expect(pockets.pocketOf.filter((pocket) => pocket === 0).length).toBe(24 * 23);
  });
});

describe('pockets under eight threads', () => {
  const narrowIn = (weave: Drawdown, rows: number, ends: number) =>
    finish(hasNarrowLayers(repeatWeave(weave, rows, ends), rows, ends, true));

  it.each([4, 6])('stripes and squares %d threads wide are found, and no wider layers there', (span) => {
    const chequered = blockDrawdown(
      [
        [0, 1],
        [1, 0],
      ],
      [over, under],
      span,
      span,
    );
    for (const weave of [stripes(span), chequered]) {
      const [rows, ends] = [weave.rows * Math.ceil(8 / weave.rows), weave.ends];
      expect(finish(layerMap(repeatWeave(weave, rows, ends), rows, ends, true)).layered).toBe(false);
      expect(narrowIn(weave, rows, ends)).toBe(true);
    }
  });

  it.each([
    ['plain weave', plainWeave()],
    ['2/2 twill', twill([2, 2])],
    ['8-end satin', satin(8, 3, 'warp')],
    [
      'a weft-backed twill',
      drawdownFromRows(['#...', '##.#', '.#..', '.###', '..#.', '.###', '...#', '#.##'].map(bits)),
    ],
    ['a warp-backed twill', drawdownFromRows(['#...####', '###...#.', '#.###...', '..#.#.#.'].map(bits))],
  ])('%s has none', (_, weave) => {
    expect(narrowIn(weave, 16, 16)).toBe(false);
  });

  it('are told of, and raise nothing', () => {
    const problem = clothProblem({
      weave: stripes(4),
      rows: 48,
      ends: 48,
      endsPerCm: 24,
      warp: [roundBody('a', 0.3, 0.008, 60)],
      weft: [roundBody('b', 0.3, 0.008, 60)],
      fixedPicksPerCm: 20,
    });
    const { relief } = finish(forecastCloth(problem, 'preview', {}, { state: 'onLoom', treatment: 'none' })).readings;
    expect(relief?.pockets).toBe(0);
    expect(relief?.heightMm.value).toBe(0);
    // Eight picks at 20 to the cm.
    expect(relief?.spanMm).toBeCloseTo(4, 1);
    expect(relief?.layerMm).toBeCloseTo(0.6, 6);
  });
});

describe('the form of pockets', () => {
  it('between stripes is half a sine, 1 high, of half a squared slope π²/4L²', () => {
    const span = 24;
    const map = finish(layerMap(repeatWeave(stripes(span), 8, 2 * span), 8, 2 * span, true));
    const pockets = findPockets(map, true);
    expect(pockets.count).toBe(2);
    const pitch = (count: number, mm: number) => new Float64Array(count).fill(mm);
    const shapes = finish(pocketShapes(map, pockets, pitch(2 * span, 0.5), pitch(8, 0.7), true));
    const widthMm = span * 0.5;
    expect(shapes.spanMm[0] / widthMm).toBeCloseTo(1, 2);
    // The differences of 24 steps lose under a hundredth.
    expect(shapes.across[0] / (Math.PI ** 2 / (4 * widthMm ** 2))).toBeCloseTo(1, 1);
    expect(shapes.along[0]).toBeCloseTo(0, 6);
    for (let end = 0; end < span; end++) {
      expect(Math.abs(shapes.rise[end] - Math.sin((Math.PI * (end + 0.5)) / span))).toBeLessThan(0.02);
    }
  });
});

describe('relief', () => {
  const finishing: YarnFinishing = {
    loomModulusNPerTex: 0.5,
    shrinkShare: [0, 0],
    swellingShare: 0,
    felts: false,
    laidStretchShare: 0,
  };
  const face = { ...roundBody('face', 0.3, 0.008, 60), finishing };
  /** Lost in a machine wash: 3.5 times 6 to 8 %. */
  const felting = {
    ...face,
    id: 'felting',
    finishing: { ...finishing, felts: true, shrinkShare: [0.06, 0.08] as const },
  };
  const cloth = (weft: readonly (typeof face)[], more: Partial<ProblemOptions> = {}) =>
    clothProblem({
      weave: stripes(40),
      rows: 48,
      ends: 160,
      endsPerCm: 24,
      warp: [face],
      weft,
      fixedPicksPerCm: 22,
      endTensionN: 0.3,
      ...more,
    });
  const forecast = (problem: ReturnType<typeof cloth>, state: 'onLoom' | 'finished') =>
    finish(forecastCloth(problem, 'preview', {}, { state, treatment: 'machineWashed' }));

  it('is flat where both layers are alike, and there are pockets that could stand', () => {
    const { relief } = forecast(cloth([face, face]), 'finished').readings;
    expect(relief?.pockets).toBe(2);
    expect(relief?.heightMm.value).toBe(0);
  });

  it('stands by the law once the other layer’s weft has shrunk, and is flat on the loom', () => {
    const problem = cloth([face, felting]);
    expect(forecast(problem, 'onLoom').readings.relief?.heightMm.value).toBe(0);
    const { readings, geometry, problem: there } = forecast(problem, 'finished');
    const relief = readings.relief;
    if (!relief) throw new Error('pockets were not found');
    expect(relief.excessAcross).toBeGreaterThan(0.05);
    const spanMm = 40 * ((there.endXMm[159] - there.endXMm[0]) / 159);
    const lawMm = ((2 * spanMm) / Math.PI) * Math.sqrt(relief.excessAcross);
    // 40 differences for a sine: within a twentieth of the closed form.
    expect(Math.abs(relief.heightMm.value / lawMm - 1)).toBeLessThan(0.05);
    expect(relief.heightMm.low).toBeLessThan(relief.heightMm.value);
    expect(relief.heightMm.high).toBeGreaterThan(relief.heightMm.value);
    // Thickness is read off the drawn threads, on a tenth of the crossings: the crowns of both kinds of stripe.
    expect(readings.thicknessMm.value).toBeGreaterThan(1.5 * relief.heightMm.value);
    // A row of the longer weft bends out where it is the upper layer, and lies under where it is the lower.
    const row = 0;
    const heights = Array.from({ length: 80 }, (_, end) => geometry.weft.heightMm[row * geometry.periodEnds + end]);
    expect(Math.max(...heights) - Math.min(...heights)).toBeGreaterThan(1.8 * relief.heightMm.value);
  });

  it('moves no thread into another: where one lies over another it lies as far over it or further', () => {
    const problem = cloth([face, face]);
    const { rows, ends, drawdown } = problem;
    const solved = {
      rows,
      ends,
      repeats: false,
      pitchXMm: spaces(problem.endXMm),
      pitchYMm: new Float64Array(rows - 1).fill(0.45),
    };
    for (const upperOver of [0.08, 0]) {
      const [warp, weft] = [levelField(rows * ends), levelField(rows * ends)];
      const over = {
        weft: Float64Array.from({ length: rows }, (_, row) => (row % 2 === 0 ? upperOver : 0.08 - upperOver)),
        warp: new Float64Array(ends),
      };
      const laid = finish(layRelief(problem, solved, warp, weft, over));
      expect(laid?.relief.heightMm.value).toBeGreaterThan(2);
      let moved = 0;
      for (let k = 0; k < rows * ends; k++) {
        const apart = warp.heightMm[k] - weft.heightMm[k];
        const up = isWarpUp(drawdown, Math.floor(k / ends), k % ends);
        expect(up ? apart : -apart).toBeGreaterThanOrEqual(0);
        if (warp.heightMm[k] !== 0) moved++;
      }
      expect(moved).toBeGreaterThan((rows * ends) / 4);
    }
  });

  it('stands on the loom already where one layer’s ends come slack from a second beam', () => {
    const problem = cloth([face, face], {});
    const endSlackShare = Float64Array.from({ length: problem.ends }, (_, end) => (end % 2 === 0 ? 0.08 : 0));
    // Stripes across the cloth, so that slack along the warp has a span.
    const across = repeatWeave(blockDrawdown([[0], [1]], [over, under], 4, 40), 160, problem.ends);
    const tall = clothProblem({
      weave: across,
      rows: 160,
      ends: 48,
      endsPerCm: 24,
      warp: [face],
      weft: [face],
      fixedPicksPerCm: 22,
      endTensionN: 0.3,
    });
    const slack = { ...tall, endSlackShare: endSlackShare.slice(0, 48) };
    const { relief } = forecast(slack, 'onLoom').readings;
    const lawMm = ((2 * 40 * (10 / 22)) / Math.PI) * Math.sqrt(0.08);
    expect(Math.abs((relief?.heightMm.value ?? 0) / lawMm - 1)).toBeLessThan(0.05);
    expect(forecast(tall, 'onLoom').readings.relief?.heightMm.value).toBe(0);
  });
});
