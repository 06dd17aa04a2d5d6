import { describe, expect, it } from 'vitest';
import { facetTilt, leanFrame } from '#engine/scatter/facetTilt.ts';
import { hashUniform } from '#engine/units/hash.ts';
import type { Direction } from './lightBench.ts';

const SEED = 311;
const TILT = 0.07;
const LENGTH_MM = 3;

describe('facets of film', () => {
  it('lean by the asked spread about no lean, both ways alike', () => {
    const lean: Direction = [0, 0, 0];
    const count = 60_000;
    const sums = [0, 0];
    const squares = [0, 0];
    let together = 0;
    for (let k = 0; k < count; k++) {
      facetTilt(lean, k % 997, 5000 * hashUniform(SEED, k), LENGTH_MM, TILT);
      for (let c = 0; c < 2; c++) {
        expect(Math.abs(lean[c])).toBeLessThanOrEqual(2.02 * TILT);
        sums[c] += lean[c];
        squares[c] += lean[c] * lean[c];
      }
      together += lean[0] * lean[1];
    }
    for (let c = 0; c < 2; c++) {
      // Three standard errors of 60 000 deviates.
      expect(Math.abs(sums[c] / count)).toBeLessThan((3 * TILT) / Math.sqrt(count));
      expect(Math.sqrt(squares[c] / count) / TILT).toBeCloseTo(1, 1.7);
    }
    expect(Math.abs(together / count)).toBeLessThan((4 * TILT * TILT) / Math.sqrt(count));
  });

  it('wander smoothly: no jump where one facet becomes the next, before 0 either', () => {
    const here: Direction = [0, 0, 0];
    const there: Direction = [0, 0, 0];
    for (let cell = -20; cell <= 20; cell++) {
      facetTilt(here, 7, cell * LENGTH_MM - 1e-6, LENGTH_MM, TILT);
      facetTilt(there, 7, cell * LENGTH_MM + 1e-6, LENGTH_MM, TILT);
      for (let c = 0; c < 2; c++) expect(Math.abs(here[c] - there[c])).toBeLessThan(1e-9);
    }
  });

  it('differ from thread to thread', () => {
    const a: Direction = [0, 0, 0];
    const b: Direction = [0, 0, 0];
    let same = 0;
    for (let thread = 0; thread < 500; thread++) {
      facetTilt(a, thread, 10, LENGTH_MM, TILT);
      facetTilt(b, thread + 1, 10, LENGTH_MM, TILT);
      if (Math.abs(a[0] - b[0]) < 1e-6) same++;
    }
    expect(same).toBe(0);
  });

  it('turn normal and tangent together', () => {
    const normal: Direction = [0, 0, 1];
    const tangent: Direction = [1, 0, 0];
    leanFrame(normal, tangent, [0.2, -0.1, 0]);
    expect(Math.hypot(...normal)).toBeCloseTo(1, 12);
    expect(Math.hypot(...tangent)).toBeCloseTo(1, 12);
    expect(normal[0] * tangent[0] + normal[1] * tangent[1] + normal[2] * tangent[2]).toBeCloseTo(0, 12);
    // A rise along the thread leans the normal back; the side is normal × tangent, here y.
    expect(normal[0] / normal[2]).toBeCloseTo(-0.2, 12);
    expect(normal[1] / normal[2]).toBeCloseTo(0.1, 12);
  });
});
