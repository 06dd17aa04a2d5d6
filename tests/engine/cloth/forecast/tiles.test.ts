import { describe, expect, it } from 'vitest';
import type { ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { fieldsByTiles } from '#engine/cloth/forecast/fieldsByTiles.ts';
import { chooseRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { solvedFields } from '#engine/cloth/forecast/solvedFields.ts';
import { planTiles, type Tile } from '#engine/cloth/forecast/tilePlan.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { createDrawdown, type Drawdown, setWarpUp } from '#engine/draft/drawdown.ts';
import { xorshift } from '#tests/engine/cloth/heights/problems.ts';
import { shadedPicture } from '#tests/helpers/benchCloths.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const DIAMETER_MM = 0.287;

function woven(weave: Drawdown, endsPerCm = 16): ClothProblem {
  const yarn = roundBody('20/2', DIAMETER_MM, 0.0082, 59.05);
  return clothProblem({ weave, rows: weave.rows, ends: weave.ends, endsPerCm, warp: [yarn], weft: [yarn] });
}

function weaveOf(rows: number, ends: number, up: (row: number, end: number) => boolean): Drawdown {
  const weave = createDrawdown(rows, ends);
  for (let row = 0; row < rows; row++) for (let end = 0; end < ends; end++) setWarpUp(weave, row, end, up(row, end));
  return weave;
}

/** Plain weave in which every eighth crossing or so lies the other way up. */
function scattered(side: number, seed: number): Drawdown {
  const random = xorshift(seed);
  return weaveOf(side, side, (row, end) => ((row + end) % 2 === 0) !== random() < 0.12);
}

/** Two plain cloths that change places in blocks. */
function doubleInBlocks(side: number): Drawdown {
  return weaveOf(side, side, (row, end) => {
    // Each block a little longer than the last, so that nothing repeats.
    const changed = (Math.floor(row / (20 + row / 25)) + Math.floor(end / 20)) % 2;
    const upperEnd = ((end + changed) & 1) === 0;
    const upperRow = (row & 1) === 0;
    return upperEnd === upperRow ? ((row >> 1) + (end >> 1)) % 2 === 0 : upperEnd;
  });
}

function tilesOf(problem: ClothProblem, rowYMm: Float64Array): Tile[] {
  const tiles = planTiles(problem, chooseRegion(problem), rowYMm);
  if (!tiles) throw new Error('so large a cloth is solved in tiles');
  return tiles;
}

/** Largest difference of two fields over D, of so large a share of the crossings. */
function worst(a: Float32Array, b: Float32Array, share = 1): number {
  const off = Array.from(a, (value, k) => Math.abs(value - b[k]) / DIAMETER_MM).sort((x, y) => x - y);
  return off[Math.floor(share * (off.length - 1))];
}

describe('a cloth solved in tiles', () => {
  it.each([
    ['a scattered plain cloth, seed 7', woven(scattered(200, 7))],
    ['two plain cloths in blocks', woven(doubleInBlocks(200), 28)],
    ['shaded satins', woven(shadedPicture(200, 200))],
  ])('stands within a fiftieth of D of the same solved as a whole: %s', (_name, problem) => {
    const { rowYMm } = rowPositions(problem, false);
    const whole = finish(solvedFields(problem, chooseRegion(problem), rowYMm, 'settled', {}));
    const tiled = finish(fieldsByTiles(problem, rowYMm, 'settled', tilesOf(problem, rowYMm), [], undefined));
    expect(tiled.residuals.converged).toBe(true);
    const families: [CurveField, CurveField][] = [
      [tiled.warp, whole.warp],
      [tiled.weft, whole.weft],
    ];
    for (const [mine, its] of families) {
      // A place that is parted in the one and just clear in the other, of 40 000, may stand a little further off.
      expect(worst(mine.heightMm, its.heightMm, 0.9999)).toBeLessThan(0.02);
      expect(worst(mine.heightMm, its.heightMm)).toBeLessThan(0.05);
      expect(worst(mine.offsetMm, its.offsetMm)).toBeLessThan(0.02);
      // How far threads lie apart where they cross is settled nearer by.
      expect(worst(mine.widthFactor, its.widthFactor)).toBeLessThan(1e-3);
    }
    const apart = ({ warp, weft }: typeof whole) => warp.heightMm.map((z, k) => z - weft.heightMm[k]);
    expect(worst(apart(tiled), apart(whole), 0.99)).toBeLessThan(0.01);
  });

  it('gives every crossing to its tiles in shares that add up to one, whatever its size, seed 11', () => {
    const random = xorshift(11);
    for (let k = 0; k < 6; k++) {
      const rows = 110 + Math.floor(300 * random());
      const ends = 280 + Math.floor(500 * random());
      const problem = woven(shadedPicture(rows, ends));
      const { rowYMm } = rowPositions(problem, false);
      const tiles = tilesOf(problem, rowYMm);
      const sums = new Float64Array(rows * ends);
      for (const tile of tiles) {
        tile.rows.weights.forEach((ofRow, row) => {
          tile.ends.weights.forEach((ofEnd, end) => {
            sums[(tile.rows.from + row) * ends + tile.ends.from + end] += ofRow * ofEnd;
          });
        });
      }
      expect(tiles.length).toBeGreaterThan(1);
      expect(sums.reduce((most, sum) => Math.max(most, Math.abs(sum - 1)), 0)).toBeLessThan(1e-6);
    }
  });

  it('cuts no picks apart that lie side by side in a shed', () => {
    const problem = woven(shadedPicture(220, 160));
    const rowYMm = rowPositions(problem, false).rowYMm.map((_, row, all) => all[row - (row % 4)]);
    for (const { rows } of tilesOf(problem, rowYMm)) {
      if (rows.from > 0) expect(rowYMm[rows.from]).toBeGreaterThan(rowYMm[rows.from - 1]);
      if (rows.to < problem.rows) expect(rowYMm[rows.to]).toBeGreaterThan(rowYMm[rows.to - 1]);
    }
  });
});
