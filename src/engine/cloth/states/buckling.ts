import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { SolvedRegion } from '#engine/cloth/forecast/regionProblem.ts';

/**
 * Force (N) at which each weft of a region gives way when it is pushed along itself; without bound but between picks that were laid
 * stretched. There the cloth ripples as one, picks with ends, as gathered stripes do (common practice), each pick as a strut
 * with hinged ends over the distance of those two: π²B/ℓ² (Euler; that ripples are no longer is a judgement).
 * @param rowYMm of the whole cloth's rows
 */
export function bucklingForces(problem: ClothProblem, region: SolvedRegion, rowYMm: Float64Array): Float64Array {
  const { firstRow, rows } = region;
  const ofRow = (row: number) => problem.yarns[problem.rowYarn[firstRow + row]];
  const ripple = betweenStretched(
    Float64Array.from({ length: rows }, (_, row) => rowYMm[firstRow + row] - rowYMm[firstRow]),
    region.boundary === 'periodic' ? rowYMm[firstRow + rows] - rowYMm[firstRow] : 0,
    (row) => (ofRow(row).finishing?.laidStretchShare ?? 0) > 0,
  );
  return ripple.map((mm, row) =>
    mm > 0 ? (Math.PI ** 2 * ofRow(row).bendingNmm2) / mm ** 2 : Number.POSITIVE_INFINITY,
  );
}

/** Per row: distance from the stretched row before it to the one after it, mm; 0 where it does not lie between two. */
function betweenStretched(yMm: Float64Array, periodMm: number, stretched: (row: number) => boolean): Float64Array {
  const at = Array.from(yMm.keys()).filter(stretched);
  return yMm.map((y, row) => {
    if (at.length === 0 || stretched(row)) return 0;
    const before = at.filter((k) => k < row).at(-1);
    const after = at.find((k) => k > row);
    const from = before === undefined ? yMm[at[at.length - 1]] - periodMm : yMm[before];
    const to = after === undefined ? yMm[at[0]] + periodMm : yMm[after];
    return from < y && to > y ? to - from : 0;
  });
}
