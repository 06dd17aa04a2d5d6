import { describe, expect, it } from 'vitest';
import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { fieldsByKinds, type KindsMemory } from '#engine/cloth/forecast/fieldsByKinds.ts';
import { unevenGeometry } from '#engine/cloth/forecast/unevenThreads.ts';
import { laySome, layWhole } from '#engine/cloth/kinds/kindFields.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { TILE_TEXELS, TileBits } from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { YarnUnevenness } from '#engine/yarn/yarnTypes.ts';
import { shadedPicture } from '#tests/helpers/benchCloths.ts';
import { strandOf } from '#tests/helpers/clothFixtures.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const ROWS = 170;
const ENDS = 190;

function picture(unevenness?: YarnUnevenness): ClothProblem {
  const yarn = { ...roundBody('20/2', 0.287, 0.0082, 59.05), ...(unevenness ? { unevenness } : {}) };
  const weave = shadedPicture(ROWS, ENDS);
  return clothProblem({ weave, rows: ROWS, ends: ENDS, endsPerCm: 16, warp: [yarn], weft: [yarn], scatterShare: 0.1 });
}

/** The same cloth twice: some rows laid out and the rest known by kinds, and all of it laid out. */
function bothWays(problem: ClothProblem): { some: ClothGeometry; all: ClothGeometry } {
  const { rowYMm } = rowPositions(problem, true);
  const memory: KindsMemory = {};
  const found = finish(fieldsByKinds(problem, rowPositions(problem, false).rowYMm, rowYMm, memory));
  if (!found) throw new Error('no kinds');
  const { byKinds, residuals } = found;
  const places = {
    ...{ rows: ROWS, ends: ENDS, periodRows: ROWS, periodEnds: ENDS, residuals },
    ...{ endXMm: Float32Array.from(problem.endXMm), rowYMm: Float32Array.from(rowYMm) },
  };
  const { held, ...fields } = finish(laySome(byKinds));
  return {
    some: { ...places, ...fields, byKinds: { fields: byKinds, held } },
    all: { ...places, ...finish(layWhole(byKinds)) },
  };
}

/** Tiles hold all that others hold but for `leastMm`, and no more than `mostMm` beyond. */
function expectHeld(tiles: Float32Array, others: Float32Array, leastMm: number, mostMm: number): void {
  expect(tiles.length).toBe(others.length);
  let least = Infinity;
  let most = -Infinity;
  for (let tile = 0; tile + TILE_TEXELS * 4 <= tiles.length; tile += TILE_TEXELS * 4) {
    expect(tiles[tile + 1]).toBe(others[tile + 1]);
    for (let bits = 0; bits < TileBits.extrasShift; bits += 2)
      expect((tiles[tile] >> bits) & 3).toBeGreaterThanOrEqual((others[tile] >> bits) & 3);
    // Lowest and highest, then how far threads reach, with hair and without.
    const beyond = [3, 4, 5, 8, 9].map((k) => tiles[tile + k] - others[tile + k]);
    for (const more of [others[tile + 2] - tiles[tile + 2], ...beyond]) {
      least = Math.min(least, more);
      most = Math.max(most, more);
    }
  }
  expect(least).toBeGreaterThan(-leastMm);
  expect(most).toBeLessThan(mostMm);
}

describe('a cloth known by kinds of crossing', () => {
  it('is laid out for the picture as the same with all its crossings is, number for number', () => {
    const problem = picture();
    const { some, all } = bothWays(problem);
    const materials = problem.yarns.map(() => ({ strands: [strandOf([0.5, 0.4, 0.3])] }));
    expect(some.warp.heightMm.length).toBeLessThan(all.warp.heightMm.length);
    const { tileTable, bounds, ...mine } = packCloth(problem, some, materials);
    const { tileTable: tilesOfAll, bounds: boundsOfAll, ...its } = packCloth(problem, all, materials);
    expect(mine).toEqual(its);
    // Tiles are told once for all that is alike to 2 parts in 10 000: they hold what the others hold, and hardly more.
    expectHeld(tileTable, tilesOfAll, 1e-6, 0.01);
    for (const axis of [0, 1, 2]) {
      expect(bounds.min[axis]).toBeLessThanOrEqual(boundsOfAll.min[axis] + 1e-6);
      expect(bounds.min[axis]).toBeGreaterThan(boundsOfAll.min[axis] - 0.01);
      expect(bounds.max[axis]).toBeGreaterThanOrEqual(boundsOfAll.max[axis] - 1e-6);
      expect(bounds.max[axis]).toBeLessThan(boundsOfAll.max[axis] + 0.01);
    }
  });

  it('has threads as uneven as the same with all its crossings has, slubs included', () => {
    const slubs = { everyMm: [30, 60], lengthMm: [8, 20], timesWidth: [1.3, 1.8] } as const;
    const problem = picture({ widthCv: 0.1, halfWaveMm: 20, slubs });
    const { some, all } = bothWays(problem);
    const materials = problem.yarns.map(() => ({ strands: [strandOf([0.5, 0.4, 0.3])] }));
    const mine = packCloth(problem, finish(unevenGeometry(problem, some)), materials);
    const its = packCloth(problem, finish(unevenGeometry(problem, all)), materials);
    const even = packCloth(problem, all, materials);
    expect(mine.warpNodes).not.toEqual(even.warpNodes);
    expect(mine.warpNodes).toEqual(its.warpNodes);
    expect(mine.weftNodes).toEqual(its.weftNodes);
    // Unevenness makes no thread thicker, so heights are those of even ones, without what the others add where a section changes;
    // sides are as far as the widest place, a slub of 1.8 times, would reach if it bent as tightly as may be.
    expectHeld(mine.tileTable, its.tileTable, 0.005, 0.2);
  });
});
