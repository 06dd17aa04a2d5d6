import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { toClothProblem } from '#document/toClothProblem.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type Forecast, forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { readSampleText } from '#io/sampleFile.ts';
import { overlapAt } from '#tests/helpers/drawnOverlap.ts';
import { finish } from '#tests/helpers/finish.ts';

const SAMPLES = 'presets/samples';
/**
 * Vertical overlap over D that all but three crossings in a hundred keep to; it overstates that square to the surface.
 * Heights are found for even threads, which keep to 0.01 on the loom; yarns' own unevenness then widens some by a quarter.
 */
const OVERLAP = 0.05;
/**
 * Of strips 97 in a hundred keep to it too. The rest are ends beside the edge of film 0.02 mm thin, which rise past it more
 * sharply than a curve from pick to pick can: by up to 0.015 mm, a twentieth of the end's own thickness.
 */
const STRIP_SHARE = 0.97;
const EDGE_OVERLAP = 0.06;
/** Where a 4 mm cord lies beside jute of 1 mm, ends climb at up to 60° and a cubic from pick to pick cuts the corner. */
const STEEP_OVERLAP = 0.06;
/** Rows a tenth of a pitch apart, where blocks change, and jute between cords: two crossings in a thousand go further. */
const WORST_OVERLAP = 0.25;

function forecastOf(problem: ClothProblem): Forecast {
  return finish(forecastCloth(problem, 'settled'));
}

describe('harbour samples as drawn', () => {
  for (const file of readdirSync(SAMPLES)) {
    it(`${file}: solved, and warp and weft do not run through each other`, () => {
      const sample = readSampleText(readFileSync(`${SAMPLES}/${file}`, 'utf8'));
      if (!sample.ok) throw new Error(sample.problems[0].message);
      const { problem: onLoom, materials } = toClothProblem(sample.value);
      const { problem, geometry } = forecastOf(onLoom);
      expect(geometry.residuals.converged).toBe(true);
      const threads: number[] = [];
      const strips: number[] = [];
      for (let row = 1; row + 1 < geometry.rows; row++) {
        const strip = materials[problem.rowYarn[row]].strands.some(({ shape }) => shape === 'strip');
        // A weft laid in over part of the width crosses no other ends.
        const from = Math.max(1, problem.rowFirst[row]);
        const to = Math.min(geometry.ends - 2, problem.rowLast[row]);
        for (let end = from; end <= to; end++) {
          (strip ? strips : threads).push(overlapAt(problem, geometry, row, end));
        }
      }
      const within = (overlaps: number[], share: number, allowed: number) => {
        if (overlaps.length === 0) return;
        overlaps.sort((a, b) => a - b);
        expect(overlaps[Math.floor(share * overlaps.length)]).toBeLessThan(allowed);
        expect(overlaps[Math.floor(0.998 * overlaps.length)]).toBeLessThan(WORST_OVERLAP);
      };
      within(threads, 0.97, OVERLAP);
      within(threads, 0.99, STEEP_OVERLAP);
      within(strips, STRIP_SHARE, OVERLAP);
      within(strips, 0.99, EDGE_OVERLAP);
    });
  }
});

/** Film that a wash leaves longer than its cloth is pressed from both sides: what cannot be parted stays near where it was found. */
it('sailcloth.json, hand washed: no thread leaves the cloth', () => {
  const sample = readSampleText(readFileSync(`${SAMPLES}/sailcloth.json`, 'utf8'));
  if (!sample.ok) throw new Error(sample.problems[0].message);
  const { problem } = toClothProblem(sample.value);
  const washed = { state: 'finished', treatment: 'handWashed' } as const;
  const { geometry } = finish(forecastCloth(problem, 'settled', {}, washed));
  for (const { heightMm, slope } of [geometry.warp, geometry.weft]) {
    expect(heightMm.every((z) => Math.abs(z) < 3)).toBe(true);
    expect(slope.every((steep) => Math.abs(steep) < 3)).toBe(true);
  }
});
