import { describe, expect, it } from 'vitest';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { colourDifference, linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { type FlatCloth, NOTICED, noticedFrom } from '#engine/weave/faults/noticedFrom.ts';
import { eyeSpreadMm } from '#render/eyeSpread.ts';

const NAVY = linearFromHex('#1d2b4f');
const CREAM = linearFromHex('#efe6d2');

/** Threads that touch, 1 mm apart: dark ends, pale picks. */
function flat(drawdown: Drawdown, end: LinearRgb = NAVY, row: LinearRgb = CREAM, mm = 1): FlatCloth {
  const every = (count: number) => Array.from({ length: count }, (_, k) => k * mm);
  return {
    drawdown,
    endColour: () => end,
    rowColour: () => row,
    endXMm: every(drawdown.ends),
    rowYMm: every(drawdown.rows),
    endWidthMm: () => mm,
    rowWidthMm: () => mm,
  };
}

function turned(drawdown: Drawdown, row: number, end: number): Drawdown {
  const other = { ...drawdown, bits: drawdown.bits.slice() };
  setWarpUp(other, row, end, !isWarpUp(drawdown, row, end));
  return other;
}

function withoutRow(drawdown: Drawdown, row: number): Drawdown {
  const other = createDrawdown(drawdown.rows - 1, drawdown.ends);
  for (let j = 0; j < other.rows; j++) {
    for (let end = 0; end < other.ends; end++) setWarpUp(other, j, end, isWarpUp(drawdown, j < row ? j : j + 1, end));
  }
  return other;
}

const place = { row: 30, end: 30 };

describe('how far off a fault is noticed', () => {
  const weave = tile(satin(8, 3, 'warp'), 64, 64);

  it('one crossing turned is noticed from where the eye’s spread leaves its colour just the difference that is noticed', () => {
    const { faceMm } = noticedFrom(flat(weave), flat(turned(weave, 30, 30)), place, eyeSpreadMm);
    // A square a wide spread with sigma s keeps erf(a / (2 s sqrt 2))² of its difference at its middle; on the mean of the
    // satin around it (one pale crossing in eight) that must just be noticed there.
    const ground = meanLinear([NAVY, CREAM], [7, 1]);
    const seen = (mm: number) => {
      const share = erf(1 / (2 * Math.SQRT2 * eyeSpreadMm(mm))) ** 2;
      return colourDifference(
        ground,
        ground.map((value, k) => value + share * (CREAM[k] - NAVY[k])) as unknown as LinearRgb,
      );
    };
    // Within a quarter: a stitch of the satin lies nearer by than the mean does.
    expect(seen(1.25 * faceMm)).toBeLessThan(NOTICED);
    expect(seen(0.75 * faceMm)).toBeGreaterThan(NOTICED);
  });

  it('a speck at the cloth’s edge is no larger than one in its middle', () => {
    const middle = noticedFrom(flat(weave), flat(turned(weave, 30, 30)), place, eyeSpreadMm);
    const edge = noticedFrom(flat(weave), flat(turned(weave, 30, 0)), { row: 30, end: 0 }, eyeSpreadMm);
    expect(edge.faceMm).toBeLessThan(1.1 * middle.faceMm);
    expect(edge.faceMm).toBeGreaterThan(0);
  });

  it('is twice as far for threads twice as thick', () => {
    const fine = noticedFrom(flat(weave), flat(turned(weave, 30, 30)), place, eyeSpreadMm);
    const coarse = noticedFrom(
      flat(weave, NAVY, CREAM, 2),
      flat(turned(weave, 30, 30), NAVY, CREAM, 2),
      place,
      eyeSpreadMm,
    );
    expect(coarse.faceMm / fine.faceMm).toBeGreaterThan(1.9);
    expect(coarse.faceMm / fine.faceMm).toBeLessThan(2.1);
  });

  it('shows first on the dark side: a pale speck on dark before a dark one on pale', () => {
    const { faceMm, backMm } = noticedFrom(flat(weave), flat(turned(weave, 30, 30)), place, eyeSpreadMm);
    expect(faceMm).toBeGreaterThan(1.5 * backMm);
    expect(backMm).toBeGreaterThan(0);
  });

  it('nothing is noticed by colour in a cloth of one colour, nor where nothing is wrong', () => {
    expect(noticedFrom(flat(weave, CREAM), flat(turned(weave, 30, 30), CREAM), place, eyeSpreadMm)).toEqual({
      faceMm: 0,
      backMm: 0,
    });
    expect(noticedFrom(flat(weave), flat(weave), place, eyeSpreadMm)).toEqual({ faceMm: 0, backMm: 0 });
  });

  it('a pick left out of plain weave doubles a shed and is noticed; a whole repeat left out of a twill is not', () => {
    const plain = tile(plainWeave(), 64, 64);
    const line = noticedFrom(flat(plain), flat(withoutRow(plain, 30)), place, eyeSpreadMm);
    expect(line.faceMm).toBeGreaterThan(1000);
    // Both sides are alike but for their colours, which are even.
    expect(Math.abs(line.backMm / line.faceMm - 1)).toBeLessThan(0.2);
    const rows = tile(twill([2, 2]), 64, 64);
    const four = [30, 30, 30, 30].reduce(withoutRow, rows);
    expect(noticedFrom(flat(rows), flat(four), place, eyeSpreadMm).faceMm).toBe(0);
  });

  it('an end in its neighbour’s dent is a streak where the other colour shows through', () => {
    const right = { ...flat(tile(plainWeave(), 64, 64)), endWidthMm: () => 0.7 };
    const endXMm = Array.from(right.endXMm, (x, end) => (end === 30 ? x - 0.3 : x));
    const { faceMm } = noticedFrom(right, { ...right, endXMm }, place, eyeSpreadMm);
    expect(faceMm).toBeGreaterThan(500);
  });
});

/** Error function (Abramowitz & Stegun 1964, 7.1.26, to 1.5e-7). */
function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * x);
  const p = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
  return 1 - p * Math.exp(-x * x);
}
