import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { createDrawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { crushLawOf, squeezedLaws } from '#engine/yarn/compression.ts';
import { bendingInPlace } from '#engine/yarn/set.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { mechanicalPeriod } from './mechanicalPeriod.ts';
import { pressedHalfWidths } from './sectionFactors.ts';

/** Rows at the start of a cloth that have fewer rows before them than hold a row in its middle. */
const STARTING_ROWS = 8;

/** Which part of the cloth is solved: one repeat from its middle, all of it, or a window on it. */
export interface SolvedRegion {
  readonly firstRow: number;
  readonly rows: number;
  readonly firstEnd: number;
  readonly ends: number;
  readonly boundary: 'periodic' | 'mirrored';
}

/** One mechanical repeat where the cloth has one, else all of it. */
export function chooseRegion(problem: ClothProblem): SolvedRegion {
  const period = mechanicalPeriod(problem);
  const skipped = Math.ceil(STARTING_ROWS / period.rows) * period.rows;
  const repeats = skipped + period.rows < problem.rows && period.ends < problem.ends;
  if (!repeats) return { firstRow: 0, rows: problem.rows, firstEnd: 0, ends: problem.ends, boundary: 'mirrored' };
  return { firstRow: skipped, rows: period.rows, firstEnd: 0, ends: period.ends, boundary: 'periodic' };
}

function perThread(count: number, body: (index: number) => YarnBody, value: (body: YarnBody) => number): Float64Array {
  return Float64Array.from({ length: count }, (_, index) => value(body(index)));
}

const yields = ({ shape }: YarnBody): number => (shape === 'round' ? 1 : 0);

function partOfDrawdown(problem: ClothProblem, { firstRow, rows, firstEnd, ends }: SolvedRegion) {
  if (firstRow === 0 && firstEnd === 0 && rows === problem.rows && ends === problem.ends) return problem.drawdown;
  const part = createDrawdown(rows, ends);
  for (let row = 0; row < rows; row++) {
    for (let end = 0; end < ends; end++) {
      setWarpUp(part, row, end, isWarpUp(problem.drawdown, firstRow + row, firstEnd + end));
    }
  }
  return part;
}

/**
 * The region as the heights solver takes it.
 * @param rowYMm the structure's own positions over the whole cloth
 */
export function regionProblem(problem: ClothProblem, region: SolvedRegion, rowYMm: Float64Array): HeightsProblem {
  const { firstRow, rows, firstEnd, ends, boundary } = region;
  const periodic = boundary === 'periodic';
  const ofEnd = (end: number) => problem.yarns[problem.endYarn[firstEnd + end]];
  const ofRow = (row: number) => problem.yarns[problem.rowYarn[firstRow + row]];
  const endXMm = problem.endXMm.slice(firstEnd, firstEnd + ends);
  const regionYMm = Float64Array.from({ length: rows }, (_, row) => rowYMm[firstRow + row] - rowYMm[firstRow]);
  const crush = problem.yarns.map(crushLawOf);
  const squeezeOf = (end: number) => problem.endSqueeze?.[firstEnd + end] ?? 1;
  const squeezed = squeezedLaws();
  const within = (end: number) => Math.min(ends - 1, Math.max(0, end - firstEnd));
  return {
    rows,
    ends,
    drawdown: partOfDrawdown(problem, region),
    rowFirst: Uint32Array.from({ length: rows }, (_, row) => (periodic ? 0 : within(problem.rowFirst[firstRow + row]))),
    rowLast: Uint32Array.from({ length: rows }, (_, row) =>
      periodic ? ends - 1 : within(problem.rowLast[firstRow + row]),
    ),
    endXMm,
    rowYMm: regionYMm,
    boundary,
    ...(periodic
      ? {
          periodXMm: problem.endXMm[firstEnd + ends] - problem.endXMm[firstEnd],
          periodYMm: rowYMm[firstRow + rows] - rowYMm[firstRow],
        }
      : {}),
    endBendingNmm2: perThread(ends, ofEnd, bendingInPlace),
    rowBendingNmm2: perThread(rows, ofRow, bendingInPlace),
    endTensionN: problem.endTensionN.slice(firstEnd, firstEnd + ends),
    rowTensionN: problem.rowTensionN.slice(firstRow, firstRow + rows),
    endHalfHeightMm: Float64Array.from({ length: ends }, (_, end) => ofEnd(end).contactHeightMm / 2 / squeezeOf(end)),
    rowHalfHeightMm: perThread(rows, ofRow, (body) => body.contactHeightMm / 2),
    endCrush: Array.from({ length: ends }, (_, end) =>
      squeezed(crush[problem.endYarn[firstEnd + end]], squeezeOf(end)),
    ),
    rowCrush: Array.from({ length: rows }, (_, row) => crush[problem.rowYarn[firstRow + row]]),
    endHalfWidthMm: pressedHalfWidths(endXMm, ofEnd).map((half, end) => half * squeezeOf(end)),
    rowHalfWidthMm: pressedHalfWidths(regionYMm, ofRow),
    endYields: Uint8Array.from({ length: ends }, (_, end) => yields(ofEnd(end))),
    rowYields: Uint8Array.from({ length: rows }, (_, row) => yields(ofRow(row))),
  };
}
