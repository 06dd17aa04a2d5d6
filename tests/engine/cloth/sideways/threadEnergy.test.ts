import { describe, expect, it } from 'vitest';
import { chooseRegion, regionProblem } from '#engine/cloth/forecast/regionProblem.ts';
import { sectionFactors } from '#engine/cloth/forecast/sectionFactors.ts';
import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { buildPlanSides } from '#engine/cloth/sideways/planSide.ts';
import { planThreads } from '#engine/cloth/sideways/planThreads.ts';
import { settleThreads } from '#engine/cloth/sideways/settleThreads.ts';
import { FRICTION } from '#engine/cloth/sideways/solveSideways.ts';
import { threadEnergy } from '#engine/cloth/sideways/threadEnergy.ts';
import { type Drawdown, drawdownFromRows } from '#engine/draft/drawdown.ts';
import { type CrushLaw, crushedHeightMm } from '#engine/yarn/compression.ts';
import { xorshift } from '#tests/engine/cloth/heights/problems.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';
import { randomCloth } from '#tests/helpers/randomCloth.ts';

const PITCH = 1.25;
const rows = (text: string): Drawdown => drawdownFromRows(text.split(' ').map((row) => [...row].map(Number)));
const cotton = { ...roundBody('8/2', 0.462, 0.016, 147.6), contactStiffnessN: 30 };
const weaves: Record<string, Drawdown> = {
  hopsack: rows('1100 1100 0011 0011'),
  lace: rows('101010 111000 101010 010101 000111 010101'),
  'twill 3/1': rows('1110 0111 1011 1101'),
  'satin of 5': rows('11110 11011 01111 11101 10111'),
  'double plain': rows('1011 0010 1110 1000'),
};

/** A cloth's repeat (or all of it), settled as forecasts have it: friction, sections that give, slanting contacts, wrap. */
function settled(problem: ReturnType<typeof clothProblem>, pitchMm = PITCH) {
  const region = chooseRegion(problem);
  const y = Float64Array.from({ length: problem.rows + 1 }, (_, row) => row * pitchMm);
  const heights = regionProblem(problem, region, y);
  const threads = planThreads(problem, region);
  const part = {
    ...problem,
    rowYarn: problem.rowYarn.subarray(region.firstRow),
    rowFirst: heights.rowFirst,
    rowLast: heights.rowLast,
  };
  const sectionsOf = (solution: Parameters<typeof sectionFactors>[2]) => sectionFactors(heights, part, solution);
  const found = finish(settleThreads(heights, threads, sectionsOf));
  const sections = finish(sectionsOf(found.solution));
  const sides = finish(buildPlanSides(heights, threads));
  return { ...found, heights, threads, sides, sections };
}

/** Work to press a section's half height by a force up to F, by 4000 steps: Σ F ΔD. */
function pressing(law: CrushLaw, forceN: number): number {
  let work = 0;
  const steps = 4000;
  for (let k = 0; k < steps; k++) {
    const force = (forceN * (k + 0.5)) / steps;
    work +=
      (force * (crushedHeightMm(law, (forceN * k) / steps) - crushedHeightMm(law, (forceN * (k + 1)) / steps))) / 2;
  }
  return work;
}

describe('the energy that heights and offsets lower in turn', () => {
  for (const [name, weave] of Object.entries(weaves))
    for (const endTensionN of [0.6, 0.05])
      it(`${name}, ends at ${endTensionN} N: as shipped, it never rises from pass to pass`, () => {
        const problem = clothProblem({
          rows: 40,
          ends: 40,
          endsPerCm: 8,
          warp: [cotton],
          weft: [cotton],
          weave,
          endTensionN,
        });
        const { energyNmm, solution, sideways, heights, threads, sides, sections } = settled(problem);
        for (let k = 1; k < energyNmm.length; k++) expect(energyNmm[k]).toBeLessThanOrEqual(energyNmm[k - 1]);
        // The last is that of what is handed on, and lower than on the lines where threads bunch.
        const parts = threadEnergy(heights, solution, sections, threads, sides, sideways, FRICTION);
        const total = parts.heights + parts.plan + parts.crush + parts.beside + parts.friction;
        expect(total / (energyNmm.at(-1) as number)).toBeCloseTo(1, 9);
        if (name === 'hopsack') expect(total).toBeLessThan(0.95 * energyNmm[0]);
      });

  it('in 16 random drafts with random yarns, seed 500', { timeout: 300_000 }, () => {
    const random = xorshift(500);
    let passes = 0;
    for (let k = 0; k < 16; k++) {
      const problem = randomCloth(random);
      const { energyNmm, solution, sideways, heights, threads, sides, sections } = settled(
        problem,
        0.3 + 0.8 * problem.endXMm[1],
      );
      const parts = threadEnergy(heights, solution, sections, threads, sides, sideways, FRICTION);
      const total = parts.heights + parts.plan + parts.crush + parts.beside + parts.friction;
      expect(total).toBeLessThanOrEqual(energyNmm[0] * (1 + 1e-9));
      for (let q = 1; q < energyNmm.length; q++) expect(energyNmm[q]).toBeLessThanOrEqual(energyNmm[q - 1]);
      passes += energyNmm.length - 1;
    }
    // Most take several turns: it is not that passes are thrown away.
    expect(passes).toBeGreaterThan(4 * 16);
  });
});

describe('its parts', () => {
  it('bending of a plain weave pulled by its contacts: half of force times rise (Clapeyron), wrap and bed aside', () => {
    const weave = rows('10 01');
    const problem = clothProblem({ rows: 40, ends: 40, endsPerCm: 8, warp: [cotton], weft: [cotton], weave });
    const { solution, heights, threads, sides, sections } = settled(problem);
    const { heights: bent } = threadEnergy(heights, solution, sections, threads, sides, null, FRICTION);
    let work = 0;
    for (let k = 0; k < solution.contactForceN.length; k++)
      work += 0.5 * solution.contactForceN[k] * Math.abs(solution.warpHeightMm[k] - solution.weftHeightMm[k]);
    expect(bent / work).toBeCloseTo(1, 2);
  });

  it('pressing by van Wyk’s law, upright crossings, step by step', () => {
    const weave = rows('10 01');
    const problem = clothProblem({ rows: 40, ends: 40, endsPerCm: 8, warp: [cotton], weft: [cotton], weave });
    const { solution, heights, threads, sides, sections } = settled(problem);
    const upright = { ...solution, warpSlope: new Float64Array(4), weftSlope: new Float64Array(4) };
    const { crush } = threadEnergy(heights as HeightsProblem, upright, sections, threads, sides, null, FRICTION);
    let work = 0;
    solution.contactForceN.forEach((force, k) => {
      work +=
        pressing(heights.endCrush?.[k % 2] as CrushLaw, force) +
        pressing(heights.rowCrush?.[k >> 1] as CrushLaw, force);
    });
    expect(work).toBeGreaterThan(0);
    expect(Math.abs(crush / work - 1)).toBeLessThan(0.01);
  });
});
