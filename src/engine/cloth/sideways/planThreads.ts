import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { bendingInPlace, contactStiffnessInPlaceN } from '#engine/yarn/set.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import type { PlanThreads } from './planSide.ts';

/**
 * Bending stiffness within the cloth plane, N mm²: a yarn's own, and (w/g)² times it for a strip of width w and gauge g,
 * E g w³/12 against E w g³/12 (beam theory; a crumpled strip gives way sooner).
 */
function planBendingNmm2(body: YarnBody): number {
  if (body.shape === 'round') return bendingInPlace(body);
  return bendingInPlace(body) * Math.max(1, body.contactWidthMm / body.contactHeightMm) ** 2;
}

/** A region's threads as they bend and press within the cloth plane. */
export function planThreads(
  problem: ClothProblem,
  region: { readonly firstRow: number; readonly rows: number; readonly firstEnd: number; readonly ends: number },
): PlanThreads {
  const perEnd = (value: (body: YarnBody) => number) =>
    Float64Array.from({ length: region.ends }, (_, end) =>
      value(problem.yarns[problem.endYarn[region.firstEnd + end]]),
    );
  const perRow = (value: (body: YarnBody) => number) =>
    Float64Array.from({ length: region.rows }, (_, row) =>
      value(problem.yarns[problem.rowYarn[region.firstRow + row]]),
    );
  return {
    endBendingNmm2: perEnd(planBendingNmm2),
    rowBendingNmm2: perRow(planBendingNmm2),
    endContactWidthMm: perEnd((body) => body.contactWidthMm),
    rowContactWidthMm: perRow((body) => body.contactWidthMm),
    endStiffnessN: perEnd(contactStiffnessInPlaceN),
    rowStiffnessN: perRow(contactStiffnessInPlaceN),
  };
}
