import { describe, expect, it } from 'vitest';
import { LEAST_GAP, lightnessGap } from '#app/model/lightnessGap.ts';
import type { SampleCloth } from '#app/model/sampleCloth.ts';

/** Yarns by colour and width; which each end and row is of. */
function cloth(
  yarns: readonly (readonly [string, number])[],
  endYarn: readonly number[],
  rowYarn: readonly number[],
): SampleCloth {
  return {
    problem: { endYarn: Uint16Array.from(endYarn), rowYarn: Uint16Array.from(rowYarn) },
    coloursOf: yarns.map(([hex]) => [hex]),
    widthMmOf: yarns.map(([, width]) => width),
  } as unknown as SampleCloth;
}

describe('the lightness gap of warp and weft', () => {
  it('is that of their cones: sRGB 119 is L* 50, black 0, white 100 (CIE 15)', () => {
    const gap = lightnessGap(
      cloth(
        [
          ['#777777', 1],
          ['#ffffff', 1],
        ],
        [0, 0],
        [1, 1, 1],
      ),
    );
    expect(gap.warp).toBeCloseTo(50, 1);
    expect(gap.weft).toBeCloseTo(100, 4);
    expect(gap.gap).toBeCloseTo(50, 1);
    expect(gap.tooSmall).toBe(false);
  });

  it('warns of red with a green of the same lightness, however unlike in hue', () => {
    const gap = lightnessGap(
      cloth(
        [
          ['#c0392b', 1],
          ['#3f7d3f', 1],
        ],
        [0],
        [1],
      ),
    );
    expect(gap.gap).toBeLessThan(LEAST_GAP);
    expect(gap.tooSmall).toBe(true);
  });

  it('is silent where the pattern rests on colours within a system', () => {
    const both = [
      ['#111111', 1],
      ['#eeeeee', 1],
    ] as const;
    const gap = lightnessGap(cloth(both, [0, 1], [1, 0]));
    expect(gap.gap).toBeCloseTo(0, 9);
    expect(gap.within).toBeGreaterThan(80);
    expect(gap.tooSmall).toBe(false);
  });

  it('names the yarns that cross often, unlike in colour and alike in lightness, though the rest differs', () => {
    const gap = lightnessGap(
      cloth(
        [
          ['#2a2523', 1],
          ['#d9cfb8', 1],
          ['#1e2a44', 1],
        ],
        [0, 1],
        [2, 2],
      ),
    );
    expect(gap.tooSmall).toBe(false);
    expect(gap.pairs.map(({ warp, weft }) => [warp, weft])).toEqual([[0, 2]]);
    expect(gap.pairs[0].gap).toBeLessThan(LEAST_GAP);
    expect(gap.pairs[0].share).toBeCloseTo(0.5, 9);
    // No one figure: navy is near the tarred ends and far from the sand ones.
    expect(gap.apart[0]).toBeLessThan(LEAST_GAP);
    expect(gap.apart[1]).toBeGreaterThan(50);
    expect(gap.warpRange[1] - gap.warpRange[0]).toBeCloseTo(gap.within, 9);
  });

  it('does not warn of a yarn that crosses itself', () => {
    const gap = lightnessGap(
      cloth(
        [
          ['#111111', 1],
          ['#eeeeee', 1],
        ],
        [0, 1],
        [1],
      ),
    );
    expect(gap.pairs).toEqual([]);
    expect(gap.apart[0]).toBe(0);
  });

  it('weighs each yarn in linear light by the width it covers, and none that is not woven', () => {
    const gap = lightnessGap(
      cloth(
        [
          ['#000000', 3],
          ['#ffffff', 1],
          ['#ff0000', 9],
        ],
        [0, 1],
        [1],
      ),
    );
    // A quarter white: Y = 0.25, L* = 116 × 0.25^(1/3) − 16.
    expect(gap.warp).toBeCloseTo(116 * Math.cbrt(0.25) - 16, 6);
    expect(gap.within).toBeCloseTo(100, 4);
  });
});
