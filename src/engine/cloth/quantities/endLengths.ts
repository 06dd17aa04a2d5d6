import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { curveLength } from '#engine/cloth/curve.ts';
import { measuredRows, rowStart } from '#engine/cloth/heldCrossings.ts';

/**
 * Length of each end over the length of cloth that it weaves, 1 or more: what one beam has to let off for it. An end from
 * a beam that is let off longer has that taken out, so that ends of all beams compare.
 * @param problem in the state of the geometry
 * @param mostSegments of warp that are measured; with 200 000 the mean of a group of ends is within about 1e-3
 */
export function endLengthFactors(problem: ClothProblem, geometry: ClothGeometry, mostSegments: number): Float32Array {
  const { rows, ends, periodEnds, rowYMm, warp } = geometry;
  const factors = new Float32Array(ends).fill(1);
  if (rows < 2) return factors;
  const columns = Math.min(ends, periodEnds);
  const share = Math.min(1, mostSegments / (rows * columns));
  const byColumn = new Float64Array(columns);
  let spanMm = 0;
  for (const row of measuredRows(geometry, share)) {
    if (row + 1 >= rows) continue;
    const stepMm = rowYMm[row + 1] - rowYMm[row];
    if (!(stepMm > 0)) continue;
    const here = rowStart(geometry, row);
    const above = rowStart(geometry, row + 1);
    spanMm += stepMm;
    for (let column = 0; column < columns; column++) {
      byColumn[column] += curveLength(warp, here + column, above + column, stepMm);
    }
  }
  if (spanMm === 0) return factors;
  for (let end = 0; end < ends; end++) {
    factors[end] = byColumn[end % columns] / spanMm / (1 + (problem.endSlackShare?.[end] ?? 0));
  }
  return factors;
}
